import type { ComponentChildren, JSX } from 'preact';

interface FieldProps {
  readonly label: ComponentChildren;
  readonly children: ComponentChildren;
}

/** A label above whatever takes the value. */
export function Field({ label, children }: FieldProps): JSX.Element {
  return (
    // biome-ignore lint/a11y/noLabelWithoutControl: the control comes as its child
    <label class="field">
      <span>{label}</span>
      {children}
    </label>
  );
}

interface ChoiceFieldProps {
  readonly label: string;
  readonly value: string;
  readonly choices: readonly { readonly value: string; readonly name: string }[];
  /** What stands for an empty value; absent where one is always chosen. */
  readonly none?: string;
  readonly onChoose: (value: string) => void;
}

/** One of several. */
export function ChoiceField({ label, value, choices, none, onChoose }: ChoiceFieldProps): JSX.Element {
  return (
    <Field label={label}>
      <select value={value} onChange={({ currentTarget }) => onChoose(currentTarget.value)}>
        {none !== undefined && <option value="">{none}</option>}
        {choices.map((one) => (
          <option key={one.value} value={one.value}>
            {one.name}
          </option>
        ))}
      </select>
    </Field>
  );
}

interface TypedFieldProps {
  readonly label: ComponentChildren;
  readonly value: string;
  readonly onType: (text: string) => void;
  readonly inputMode?: 'decimal' | 'numeric';
  readonly maxLength?: number;
  readonly placeholder?: string;
}

/** A line of text or a number as it is typed. */
export function TypedField({ label, value, onType, ...rest }: TypedFieldProps): JSX.Element {
  return (
    <Field label={label}>
      <input value={value} {...rest} onInput={({ currentTarget }) => onType(currentTarget.value)} />
    </Field>
  );
}
