import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { PART_IDS, type PartId } from '../../../collector/contract/parts.ts';
import type { StatedCosts } from '../../server/shop/cost-model.ts';
import { TypedField } from '../shop/field.tsx';
import { faultOf, send } from '../shop/send.ts';
import { causeName } from '../words/names.ts';

const GENERAL = {
  currency: 'Currency, a code or your own text',
  energyPrice: 'Price of a kWh',
  specificEnergy: 'kWh for a Nm³ of air',
  powderPrice: 'Price of a kg of powder',
  rejectCost: 'Cost of one rejected piece',
} as const;
const COLUMNS = { piece: 'The part', planned: 'Planned change', unplanned: 'Unplanned change' } as const;

const text = (value: string | number | null | undefined): string => (value == null ? '' : String(value));
/** What was typed as a number; text that is none goes on as it is, so that the service names it. */
const number = (typed: string): number | string | null =>
  typed.trim() === '' ? null : Number.isNaN(Number(typed.replace(',', '.'))) ? typed : Number(typed.replace(',', '.'));

/** The shop's own figures. Nothing but the energy of air is filled in. */
export function FiguresForm({ stated, onStated }: { stated: StatedCosts; onStated: () => Promise<void> }): JSX.Element {
  const { figures, version, who } = stated;
  const [general, setGeneral] = useState<Record<keyof typeof GENERAL, string>>({
    currency: figures.currency,
    energyPrice: text(figures.energyPrice),
    specificEnergy: text(figures.specificEnergy),
    powderPrice: text(figures.powderPrice),
    rejectCost: text(figures.rejectCost),
  });
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
  const [fault, setFault] = useState<string | null>(null);
  const submit = async (): Promise<void> => {
    const byPart = PART_IDS.flatMap((part): [PartId, object][] => {
      const row = Object.fromEntries(
        Object.keys(COLUMNS).map((column) => [column, number(parts[`${part} ${column}`] ?? '')]),
      );
      return Object.values(row).every((value) => value === null) ? [] : [[part, row]];
    });
    const body = {
      currency: general.currency,
      energyPrice: number(general.energyPrice),
      ...(general.specificEnergy.trim() === '' ? {} : { specificEnergy: number(general.specificEnergy) }),
      powderPrice: number(general.powderPrice),
      rejectCost: number(general.rejectCost),
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
        {stated.specificEnergySource}
      </p>
      <div class="fields">
        {(Object.keys(GENERAL) as (keyof typeof GENERAL)[]).map((name) => (
          <TypedField
            key={name}
            label={GENERAL[name]}
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
