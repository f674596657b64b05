import type { JSX } from 'preact';
import type { IdleOverride } from '../../../collector/contract/index.ts';
import { PART_IDS } from '../../../collector/contract/parts.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { causeName } from '../words/names.ts';
import type { Field } from './settings-model.ts';
import type { TypedOverride } from './typed-settings.ts';

interface Props {
  readonly row: number;
  readonly typed: TypedOverride;
  readonly fields: readonly Field[];
  /** What is wrong, by `overrides.<row>.<field>`. */
  readonly faults: Readonly<Record<string, string>>;
  /** What it speaks of that is not there. */
  readonly idle: readonly IdleOverride[];
  readonly site: Site;
  /** Null takes it out. */
  readonly onChange: (next: TypedOverride | null) => void;
}

/** Other values for a gun, a powder or a part. */
export function OverrideRow({ row, typed: one, fields, faults, idle, site, onChange }: Props): JSX.Element {
  const guns = site.guns.map(({ id, name }) => [id, name] as const);
  return (
    <fieldset class="override">
      <legend>
        <span class="unseen">Other values, </span>row {row + 1}
      </legend>
      <Select
        label="Gun"
        value={one.gun}
        onChange={(gun) => onChange({ ...one, gun })}
        options={one.gun === '' || guns.some(([id]) => id === one.gun) ? guns : [...guns, [one.gun, one.gun]]}
      />
      <label>
        Powder{' '}
        <input
          list="known-powders"
          value={one.powder}
          onInput={(event) => onChange({ ...one, powder: event.currentTarget.value })}
        />
      </label>
      <Select
        label="Part"
        value={one.part}
        onChange={(part) => onChange({ ...one, part })}
        options={PART_IDS.map((id) => [id, causeName(id)])}
      />
      {fields.map((field) => (
        <label key={field.key}>
          {field.name}, {field.unit}{' '}
          <input
            inputMode="decimal"
            class="narrow"
            value={one.values[field.key] ?? ''}
            aria-invalid={faults[`overrides.${row}.${field.key}`] !== undefined}
            onInput={(event) => onChange({ ...one, values: { ...one.values, [field.key]: event.currentTarget.value } })}
          />
          {faults[`overrides.${row}.${field.key}`] !== undefined && (
            <strong class="setting-fault"> {faults[`overrides.${row}.${field.key}`]}</strong>
          )}
        </label>
      ))}
      {faults[`overrides.${row}`] !== undefined && <strong class="setting-fault">{faults[`overrides.${row}`]}</strong>}
      {idle
        // A row without a value is a fault of its own here.
        .filter(({ key }) => key !== 'value')
        .map(({ key, found, why }) => (
          <strong class="setting-fault" role="status" key={key}>
            This row changes nothing: {key === 'part' ? causeName(found).toLowerCase() : found} is a {key} {why}.
          </strong>
        ))}
      <button type="button" class="button no-print" onClick={() => onChange(null)}>
        Take out
      </button>
    </fieldset>
  );
}

function Select(props: {
  readonly label: string;
  readonly value: string;
  readonly options: readonly (readonly [id: string, name: string])[];
  readonly onChange: (value: string) => void;
}): JSX.Element {
  const { label, value, options, onChange } = props;
  return (
    <label>
      {label}{' '}
      <select value={value} onChange={(event) => onChange(event.currentTarget.value)}>
        <option value="">any</option>
        {options.map(([id, name]) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}
