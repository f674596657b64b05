import type { JSX } from 'preact';
import { bareField, fromLocalField, instantsOf, localFieldValue, retyped } from './words/local-field.ts';
import { clock, type TimeStyle } from './words/site-time.ts';

interface Props {
  readonly label: string;
  /** As `localFieldValue` writes it, in the plant's time zone. */
  readonly value: string;
  readonly style: TimeStyle;
  readonly onValue: (value: string) => void;
  /** Of the label. */
  readonly class?: string;
  readonly required?: boolean;
  readonly withSeconds?: boolean;
}

/**
 * A date and clock time of the plant. Where the clock shows it twice that night it asks which of the two is meant, and where the clock
 * leaves it out it says what it is taken for.
 */
export function TimeField({ label, value, style, onValue, required, withSeconds, ...more }: Props): JSX.Element {
  const { timezone } = style;
  const bare = bareField(value);
  const instants = instantsOf(value, timezone);
  const meant = fromLocalField(value, timezone);
  return (
    <>
      <label class={more.class}>
        <span>{label}</span>{' '}
        <input
          type="datetime-local"
          // A year of more than four digits is none.
          max="9999-12-31T23:59:59"
          step={withSeconds === true ? 1 : 60}
          required={required}
          value={bare}
          onInput={(event) => onValue(retyped(value, event.currentTarget.value, timezone))}
        />
      </label>
      {instants.length > 1 && (
        <label class={more.class}>
          <span>Which of the two</span>{' '}
          <select
            value={String(meant)}
            aria-label={`${label}: which of the two`}
            onChange={(event) => onValue(localFieldValue(Number(event.currentTarget.value), timezone, withSeconds))}
          >
            {instants.map((ms, place) => (
              <option key={ms} value={String(ms)}>
                {clock(ms, style)}, {place === 0 ? 'before' : 'after'} clocks go back
              </option>
            ))}
          </select>
        </label>
      )}
      {instants.length === 0 && meant !== null && (
        <span class="soft" role="status">
          The clock leaves this time out: it is taken for {clock(meant, style)}.
        </span>
      )}
    </>
  );
}
