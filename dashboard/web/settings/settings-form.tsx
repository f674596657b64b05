import type { JSX } from 'preact';
import { type Contradiction, contradictions, PART_IDS, type Settings } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { causeName } from '../words/names.ts';
import { unbroken } from '../words/sentence.ts';
import { expertId, openExpert } from './expert-view.tsx';
import { type Field, NAMES, type Override, shownValue } from './settings-model.ts';

/** What is typed, before it is known to be numbers. */
export interface Typed {
  readonly values: Readonly<Record<string, string>>;
  readonly overrides: readonly TypedOverride[];
}

export interface TypedOverride {
  readonly gun: string;
  readonly powder: string;
  readonly part: string;
  readonly values: Readonly<Record<string, string>>;
}

const EMPTY: TypedOverride = { gun: '', powder: '', part: '', values: {} };

/** Settings as the form shows them. */
export function typedFrom(settings: Settings, fields: readonly Field[]): Typed {
  const shown = (of: Readonly<Partial<Record<string, number>>>): Record<string, string> =>
    Object.fromEntries(
      fields.flatMap(({ key, scale }) => (of[key] === undefined ? [] : [[key, shownValue(of[key], scale)]])),
    );
  return {
    values: shown(settings as unknown as Record<string, number>),
    overrides: settings.overrides.map((one) => ({
      ...{ gun: one.gun ?? '', powder: one.powder ?? '', part: one.part ?? '' },
      values: shown(one as unknown as Record<string, number>),
    })),
  };
}

/** The settings that are typed, and what is wrong with them by field, `overrides.<row>.<field>` for those of one gun. */
export function settingsFrom(
  typed: Typed,
  fields: readonly Field[],
  read: (text: string, field: Field) => number | null,
): { readonly settings: Settings; readonly faults: Readonly<Record<string, string>> } {
  const faults: Record<string, string> = {};
  const fault = (field: Field): string =>
    `expected ${field.key === 'learningRuns' ? 'a whole number' : 'a number'} from ${field.min} to ${field.max}`;
  const values: Record<string, number> = {};
  for (const field of fields) {
    const value = read(typed.values[field.key] ?? '', field);
    if (value === null) faults[field.key] = fault(field);
    else values[field.key] = value;
  }
  const overrides = typed.overrides.map((one, row): Override => {
    const own: Record<string, number> = {};
    for (const field of fields) {
      const text = one.values[field.key] ?? '';
      if (text.trim() === '') continue;
      const value = read(text, field);
      if (value === null) faults[`overrides.${row}.${field.key}`] = fault(field);
      else own[field.key] = value;
    }
    if (one.gun === '' && one.powder === '' && one.part === '')
      faults[`overrides.${row}`] = 'expected a gun, a powder or a part that it is for';
    else if (Object.keys(own).length === 0 && !Object.keys(faults).some((key) => key.startsWith(`overrides.${row}.`)))
      faults[`overrides.${row}`] = 'expected a value that differs';
    return {
      ...(one.gun === '' ? {} : { gun: one.gun }),
      ...(one.powder === '' ? {} : { powder: one.powder }),
      ...(one.part === '' ? {} : { part: one.part as (typeof PART_IDS)[number] }),
      ...own,
    };
  });
  const settings = { ...values, overrides } as unknown as Settings;
  if (Object.keys(faults).length === 0)
    for (const one of contradictions(settings)) faults[one.path.join('.')] = contradictionFault(one);
  return { settings, faults };
}

/** A contradiction in the form's own rows and units. */
function contradictionFault(one: Contradiction): string {
  if (one.kind === 'twice') return `expected one value: row ${one.row + 1} says another for the same`;
  const limit = NAMES.changeLimitExcessAir;
  return `expected at most the excess air at which the part must go (${shownValue(one.changeLimitExcessAir, limit.scale)} ${limit.unit}): it would have to go before its change is worth a visit`;
}

interface Props {
  readonly typed: Typed;
  readonly fields: readonly Field[];
  readonly faults: Readonly<Record<string, string>>;
  /** What follows from each setting; empty while it is being worked out. */
  readonly follows: Readonly<Record<string, string>>;
  readonly site: Site;
  readonly onChange: (typed: Typed) => void;
}

/** The settings in the trade's terms, for the hall and for single guns, powders or parts. */
export function SettingsForm({ typed, fields, faults, follows, site, onChange }: Props): JSX.Element {
  const change = (row: number, next: TypedOverride | null): void =>
    onChange({
      ...typed,
      overrides: typed.overrides.flatMap((one, at) => (at !== row ? [one] : next === null ? [] : [next])),
    });
  return (
    <div class="settings-form">
      {fields.map((field) => (
        <div class="setting" key={field.key}>
          <label for={`set-${field.key}`}>{field.name}</label>
          <div class="setting-value">
            <input
              id={`set-${field.key}`}
              inputMode="decimal"
              value={typed.values[field.key] ?? ''}
              aria-invalid={faults[field.key] !== undefined}
              aria-describedby={`help-${field.key}`}
              onInput={(event) =>
                onChange({ ...typed, values: { ...typed.values, [field.key]: event.currentTarget.value } })
              }
            />
            <span>{field.unit}</span>
          </div>
          <p id={`help-${field.key}`} class="setting-help">
            {faults[field.key] !== undefined && <strong class="setting-fault">{faults[field.key]}. </strong>}
            <span class="soft">
              {field.help}. {field.min} to {field.max}, usually {field.default}.
            </span>
            <span class="setting-follows">
              {follows[field.key] === undefined ? '' : ` What follows: ${unbroken(follows[field.key]!)}.`}
            </span>{' '}
            <a
              class="no-print"
              href={`#${expertId(field.key)}`}
              onClick={(event) => {
                event.preventDefault();
                openExpert(field.key);
              }}
            >
              Statistics behind it<span class="unseen">: {field.name}</span>
            </a>
          </p>
        </div>
      ))}
      <h3>Other values for some guns, powders or parts</h3>
      <p class="soft">
        The narrowest holds: a gun’s before a powder’s before a part’s. Leave a value empty where the hall’s holds.
      </p>
      {typed.overrides.map((one, row) => (
        <fieldset class="override" key={row}>
          <legend class="unseen">Other values, row {row + 1}</legend>
          <Select
            label="Gun"
            value={one.gun}
            onChange={(gun) => change(row, { ...one, gun })}
            options={site.guns.map(({ id, name }) => [id, name])}
          />
          <label>
            Powder{' '}
            <input value={one.powder} onInput={(event) => change(row, { ...one, powder: event.currentTarget.value })} />
          </label>
          <Select
            label="Part"
            value={one.part}
            onChange={(part) => change(row, { ...one, part })}
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
                onInput={(event) =>
                  change(row, { ...one, values: { ...one.values, [field.key]: event.currentTarget.value } })
                }
              />
              {faults[`overrides.${row}.${field.key}`] !== undefined && (
                <strong class="setting-fault"> {faults[`overrides.${row}.${field.key}`]}</strong>
              )}
            </label>
          ))}
          {faults[`overrides.${row}`] !== undefined && (
            <strong class="setting-fault">{faults[`overrides.${row}`]}</strong>
          )}
          <button type="button" class="button no-print" onClick={() => change(row, null)}>
            Take out
          </button>
        </fieldset>
      ))}
      <button
        type="button"
        class="button no-print"
        onClick={() => onChange({ ...typed, overrides: [...typed.overrides, EMPTY] })}
      >
        Add other values
      </button>
    </div>
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
