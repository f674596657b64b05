import { counted } from '../../../collector/contract/counted.ts';
import type { ConditionState } from '../../../collector/contract/finding.ts';

/** A state as the wall shows it: NAMUR NE 107's letters, and `?` where nothing current is known. */
export type Mark = ConditionState | 'unknown';

/** Letter and words of each state. Source: NAMUR NE 107, letters F, C, S, M. */
export const STATES: Readonly<Record<Mark, { readonly letter: string; readonly words: string }>> = {
  failure: { letter: 'F', words: 'Failure' },
  'function-check': { letter: 'C', words: 'Function check' },
  'out-of-specification': { letter: 'S', words: 'Out of specification' },
  'maintenance-required': { letter: 'M', words: 'Maintenance required' },
  good: { letter: '', words: 'Good' },
  learning: { letter: '', words: 'Learning' },
  unknown: { letter: '?', words: 'Not known' },
};

/** Worst first; states that need nobody come last. */
const ORDER: readonly Mark[] = [
  'failure',
  'function-check',
  'out-of-specification',
  'maintenance-required',
  'unknown',
  'learning',
  'good',
];

/** True when a person has to do something about it. */
export function needsSomeone(state: Mark | null): boolean {
  return state !== null && ORDER.indexOf(state) < 4;
}

/** Negative when `left` is worse than `right`. */
export function compareStates(left: Mark, right: Mark): number {
  return ORDER.indexOf(left) - ORDER.indexOf(right);
}

/** What is said of guns where no job is open: that they are well only where that is known of all. */
export function nothingToDo(states: readonly string[]): string {
  const notJudged = states.filter((state) => state === 'learning' || state === 'unknown').length;
  if (notJudged > 0)
    return `Nothing. Of ${counted(states.length, 'gun')} ${notJudged} ${notJudged === 1 ? 'is' : 'are'} not judged yet.`;
  return states.every((state) => state === 'good') ? 'Nothing: all guns are well.' : 'Nothing.';
}
