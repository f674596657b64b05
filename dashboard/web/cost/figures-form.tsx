import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { PART_IDS, type PartId } from '../../../collector/contract/parts.ts';
import type { StatedCosts } from '../../server/shop/cost-model.ts';
import { useFault } from '../link/use-fault.ts';
import { TypedField } from '../shop/field.tsx';
import { faultOf, send } from '../shop/send.ts';
import { inUnits } from '../words/in-units.ts';
import { causeName } from '../words/names.ts';
import type { Units } from '../words/units.ts';
import { figureLabel, figureShown, figureTyped, GENERAL, type General, numberTyped } from './figure-units.ts';

const COLUMNS = { piece: 'The part', planned: 'Planned change', unplanned: 'Unplanned change' } as const;

const text = (value: string | number | null | undefined): string => (value == null ? '' : String(value));
/** The shop's own figures. Nothing but the energy of air is filled in. */
export function FiguresForm(props: {
  readonly stated: StatedCosts;
  readonly units: Units;
  readonly onStated: () => Promise<void>;
}): JSX.Element {
  const { stated, units, onStated } = props;
  const { figures, version, who } = stated;
  const [general, setGeneral] = useState(
    Object.fromEntries(GENERAL.map((name) => [name, figureShown(name, figures[name], units)])) as Record<
      General,
      string
    >,
  );
  const [parts, setParts] = useState(
    Object.fromEntries(
      PART_IDS.flatMap((part) =>
        Object.keys(COLUMNS).map((column) => [
          `${part} ${column}`,
          text(figures.parts[part]?.[column as keyof typeof COLUMNS]),
        ]),
      ),
    ),
  );
  const [fault, setFault] = useFault();
  const submit = async (): Promise<void> => {
    const byPart = PART_IDS.flatMap((part): [PartId, object][] => {
      const row = Object.fromEntries(
        Object.keys(COLUMNS).map((column) => [column, numberTyped(parts[`${part} ${column}`] ?? '')]),
      );
      return Object.values(row).every((value) => value === null) ? [] : [[part, row]];
    });
    const said = (name: General): number | string | null => figureTyped(name, general[name], figures[name], units);
    const body = {
      currency: general.currency,
      energyPrice: said('energyPrice'),
      ...(general.specificEnergy.trim() === '' ? {} : { specificEnergy: said('specificEnergy') }),
      powderPrice: said('powderPrice'),
      rejectCost: said('rejectCost'),
      parts: Object.fromEntries(byPart),
    };
    setFault(await faultOf(() => send('PUT', '/api/cost/figures', { version, figures: body })));
    await onStated();
  };
  return (
    <form
      class="shop-form no-print"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      <h2>Your own figures</h2>
      <p class="soft">
        {version === 0 ? 'Nothing has been stated yet.' : `Version ${version}, stated by ${who}.`}{' '}
        {inUnits(stated.specificEnergySource, units)}
      </p>
      <div class="fields">
        {GENERAL.map((name) => (
          <TypedField
            key={name}
            label={figureLabel(name, units)}
            value={general[name]}
            {...(name === 'currency' ? { maxLength: 12 } : { inputMode: 'decimal' as const })}
            onType={(typed) => setGeneral({ ...general, [name]: typed })}
          />
        ))}
      </div>
      <div class="table-room">
        <table class="figures stacked">
          <caption>What one change costs, with all that belongs to it</caption>
          <thead>
            <tr>
              <th scope="col">Part</th>
              {Object.entries(COLUMNS).map(([column, label]) => (
                <th key={column} scope="col">
                  {label}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {PART_IDS.map((part) => (
              <tr key={part}>
                <th scope="row">{causeName(part)}</th>
                {Object.entries(COLUMNS).map(([column, label]) => (
                  <td key={column}>
                    <input
                      class="cell"
                      inputMode="decimal"
                      aria-label={`${causeName(part)}: ${label}`}
                      value={parts[`${part} ${column}`]}
                      onInput={({ currentTarget }) =>
                        setParts({ ...parts, [`${part} ${column}`]: currentTarget.value })
                      }
                    />
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p class="fault" role="alert">
        {fault}
      </p>
      <button type="submit" class="button">
        State these figures
      </button>
    </form>
  );
}
