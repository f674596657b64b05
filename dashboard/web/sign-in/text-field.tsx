import type { Signal } from '@preact/signals';
import type { JSX, TargetedEvent } from 'preact';
import { useId } from 'preact/hooks';

interface Props {
  readonly label: string;
  readonly value: Signal<string>;
  readonly type?: 'text' | 'password';
  /** For password managers (WHATWG HTML, section 4.10.18.7). */
  readonly autoComplete?: string;
  readonly maxLength?: number;
  readonly hint?: string;
}

/** One line of text with its label. */
export function TextField({
  label,
  value,
  type = 'text',
  autoComplete = 'off',
  maxLength = 100,
  hint,
}: Props): JSX.Element {
  const id = useId();
  const common = {
    id,
    value: value.value,
    autoComplete,
    autoCapitalize: 'none',
    spellcheck: false,
    maxLength,
    onInput: (event: TargetedEvent<HTMLInputElement>) => {
      value.value = event.currentTarget.value;
    },
  } as const;
  return (
    <label class="field" htmlFor={id}>
      <span>{label}</span>
      {hint !== undefined && <span class="field-hint">{hint}</span>}
      {type === 'password' ? <input type="password" {...common} /> : <input type="text" {...common} />}
    </label>
  );
}
