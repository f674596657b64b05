import type { JSX } from 'preact';
import { type Mark, STATES } from '../words/states.ts';

/** Outline of each state in a box of 100 by 100: every state has a shape of its own. */
const SHAPES: Readonly<Record<Mark, JSX.Element>> = {
  failure: <circle cx="50" cy="50" r="46" />,
  'function-check': <path d="M50 -6 106 50 50 106 -6 50Z" />,
  'out-of-specification': <path d="M50 -7 105 96H-5Z" />,
  'maintenance-required': <path d="M8 8H92V92H8Z" />,
  good: <circle cx="50" cy="50" r="15" />,
  learning: <circle cx="50" cy="50" r="30" stroke-dasharray="13 10.56" />,
  unknown: <circle cx="50" cy="50" r="42" stroke-dasharray="22 21.98" />,
};

/** How far each letter stands below the middle, so that it sits in the middle of its shape to the eye. */
const BASELINE: Readonly<Partial<Record<Mark, number>>> = { 'out-of-specification': 87 };

interface Props {
  readonly state: Mark;
  /** False draws the shape empty: the last state known, not a current one. */
  readonly current?: boolean;
}

/** A gun's or job's state: NE 107 letter, own shape, and colour only where a person is needed. */
export function StateMark({ state, current = true }: Props): JSX.Element {
  const { letter, words } = STATES[state];
  const label = current ? words : `${words}, last known`;
  return (
    <svg class={`mark mark-${state} ${current ? '' : 'mark-old'}`} viewBox="0 0 100 100" role="img" aria-label={label}>
      {SHAPES[state]}
      {letter && (
        <text x="50" y={BASELINE[state] ?? 75} text-anchor="middle">
          {letter}
        </text>
      )}
    </svg>
  );
}
