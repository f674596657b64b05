import type { JSX } from 'preact';

export interface Option {
  readonly value: string;
  readonly label: string;
}

interface Props {
  readonly name: string;
  readonly legend: string;
  readonly options: readonly Option[];
  readonly value: string | null;
  readonly onChange: (value: string) => void;
}

/** One of several, as large buttons that a gloved finger hits. */
export function Choice({ name, legend, options, value, onChange }: Props): JSX.Element {
  return (
    <fieldset class="choice">
      <legend>{legend}</legend>
      <div class="choice-options">
        {options.map((option) => (
          <label key={option.value} class={option.value === value ? 'chosen' : ''}>
            <input
              type="radio"
              name={name}
              value={option.value}
              checked={option.value === value}
              onChange={() => onChange(option.value)}
            />
            <span>{option.label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
