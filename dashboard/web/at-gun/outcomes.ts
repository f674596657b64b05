import type { Action, Found } from '../../../collector/contract/parts.ts';

/** What can be logged with one tap: what was done, and what was found. */
export interface Outcome {
  readonly id: string;
  readonly words: string;
  readonly action: Action;
  readonly found: Found | null;
}

export const OUTCOMES: readonly Outcome[] = [
  { id: 'changed-worn', words: 'Changed, old one worn', action: 'replaced', found: 'worn' },
  { id: 'changed-failed', words: 'Changed, old one failed', action: 'replaced', found: 'failed' },
  { id: 'changed-good', words: 'Changed, old one still good', action: 'replaced', found: 'good' },
  { id: 'checked-good', words: 'Checked: good', action: 'inspected', found: 'good' },
  { id: 'checked-worn', words: 'Checked: worn', action: 'inspected', found: 'worn' },
  { id: 'checked-failed', words: 'Checked: failed', action: 'inspected', found: 'failed' },
  { id: 'cleaned', words: 'Cleaned', action: 'cleaned', found: null },
];
