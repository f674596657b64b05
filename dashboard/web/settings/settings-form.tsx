import type { JSX } from 'preact';
import { idleOverrides } from '../../../collector/contract/idle-overrides.ts';
import type { Settings } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { powderName } from '../words/baseline-words.ts';
import { unbroken } from '../words/sentence.ts';
import { expertId, openExpert } from './expert-view.tsx';
import { HeldValues } from './held-values.tsx';
import { OverrideRow } from './override-row.tsx';
import type { Field } from './settings-model.ts';
import { EMPTY, type Typed, type TypedOverride } from './typed-settings.ts';

interface Props {
  readonly typed: Typed;
  /** What is typed, as settings. */
  readonly settings: Settings;
  readonly fields: readonly Field[];
  readonly faults: Readonly<Record<string, string>>;
  /** What follows from each setting; empty while it is being worked out. */
  readonly follows: Readonly<Record<string, string>>;
  readonly site: Site;
  /** Powders that are known. */
  readonly powders: readonly string[];
  readonly onChange: (typed: Typed) => void;
}

/** The settings in the trade's terms, for the hall and for single guns, powders or parts. */
export function SettingsForm({
  typed,
  settings,
  fields,
  faults,
  follows,
  site,
  powders,
  onChange,
}: Props): JSX.Element {
  const idle = idleOverrides(settings, site, powders);
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
        <OverrideRow
          key={row}
          row={row}
          typed={one}
          fields={fields}
          faults={faults}
          idle={idle.filter((that) => that.row === row)}
          site={site}
          onChange={(next) => change(row, next)}
        />
      ))}
      <datalist id="known-powders">
        {powders.map((powder) => (
          <option key={powder} value={powderName(powder, site)} />
        ))}
      </datalist>
      <button
        type="button"
        class="button no-print"
        onClick={() => onChange({ ...typed, overrides: [...typed.overrides, EMPTY] })}
      >
        Add other values
      </button>
      {settings.overrides.length > 0 && Object.keys(faults).length === 0 && (
        <HeldValues settings={settings} site={site} powders={powders} />
      )}
    </div>
  );
}
