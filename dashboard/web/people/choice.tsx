import type { Signal } from '@preact/signals';
import type { JSX } from 'preact';

interface Props<T extends string> {
  readonly label: string;
  readonly value: Signal<T>;
  readonly options: readonly { readonly value: T; readonly words: string }[];
}

/** One of a few. */
export function Choice<T extends string>({ label, value, options }: Props<T>): JSX.Element {
  return (
    <label class="field">
      <span>{label}</span>
      <select
        value={value.value}
        onChange={({ currentTarget }) => {
          const chosen = options.find((one) => one.value === currentTarget.value);
          if (chosen !== undefined) value.value = chosen.value;
        }}
      >
        {options.map((one) => (
          <option key={one.value} value={one.value}>
            {one.words}
          </option>
        ))}
      </select>
    </label>
  );
}
