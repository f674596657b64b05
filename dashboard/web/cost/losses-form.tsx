import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Site } from '../../server/endpoints/site.ts';
import type { StatedLosses } from '../../server/shop/cost-model.ts';
import { useFault } from '../link/use-fault.ts';
import { ChoiceField, Field, TypedField } from '../shop/field.tsx';
import { faultOf, send } from '../shop/send.ts';
import { kilogramsOf, powder } from '../words/shop-units.ts';

interface Props {
  readonly losses: readonly StatedLosses[];
  readonly site: Site;
  /** The present month. */
  readonly month: string;
  readonly onStated: () => Promise<void>;
}

/** Powder and rejects that the shop puts down to a gun in a month. */
export function LossesForm({ losses, site, month: present, onStated }: Props): JSX.Element {
  const [gun, setGun] = useState('');
  const [month, setMonth] = useState(present);
  const [typed, setTyped] = useState<{ powder: string; rejects: string } | null>(null);
  const [fault, setFault] = useFault();
  const [done, setDone] = useState<string | null>(null);
  const before = losses.find((one) => one.gun === gun && one.month === month);
  const kilograms = before?.losses.powderKilograms;
  const shown = typed ?? {
    powder: kilograms == null ? '' : String(Math.round(powder(kilograms, site.units).value * 10) / 10),
    rejects: before?.losses.rejects == null ? '' : String(before.losses.rejects),
  };
  const submit = async (): Promise<void> => {
    if (gun === '') return setFault('Still to say: which gun.');
    const powderTyped = shown.powder.trim().replace(',', '.');
    const body = {
      powderKilograms: powderTyped === '' ? null : kilogramsOf(Number(powderTyped), site.units),
      rejects: shown.rejects.trim() === '' ? null : Number(shown.rejects),
      note: before?.losses.note ?? '',
    };
    if (Number.isNaN(body.powderKilograms) || Number.isNaN(body.rejects))
      return setFault('Expected numbers of 0 or more, or nothing.');
    const refused = await faultOf(() =>
      send('PUT', `/api/cost/losses/${month}/${gun}`, { version: before?.version ?? 0, losses: body }),
    );
    setFault(refused);
    setDone(refused === null ? `Stated for ${month}.` : null);
    if (refused === null) setTyped(null);
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
      <h2>Powder and rejects</h2>
      <div class="fields">
        <Field label="Month">
          <input
            type="month"
            value={month}
            max={present}
            onInput={({ currentTarget }) => {
              setMonth(currentTarget.value);
              setTyped(null);
            }}
          />
        </Field>
        <ChoiceField
          label="Gun"
          value={gun}
          none="Choose"
          choices={site.guns.map(({ id, name }) => ({ value: id, name }))}
          onChoose={(id) => {
            setGun(id);
            setTyped(null);
          }}
        />
        <TypedField
          label={`Powder lost, ${powder(0, site.units).unit}`}
          value={shown.powder}
          inputMode="decimal"
          onType={(text) => setTyped({ ...shown, powder: text })}
        />
        <TypedField
          label="Rejected pieces"
          value={shown.rejects}
          inputMode="numeric"
          onType={(text) => setTyped({ ...shown, rejects: text })}
        />
      </div>
      <p class="fault" role="alert">
        {fault}
      </p>
      <p role="status">{done}</p>
      <button type="submit" class="button">
        State it
      </button>
    </form>
  );
}
