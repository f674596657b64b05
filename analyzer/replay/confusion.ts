import type { CaseScore } from './case-score.ts';

/** How often each true cause was first found as which; `nothing` stands for a false finding, `not found` for a miss. */
export interface Confusion {
  readonly truths: readonly string[];
  readonly found: readonly string[];
  /** Counts by truth, then by what was found. */
  readonly counts: readonly (readonly number[])[];
}

export const NOTHING = 'nothing wrong';
export const MISSED = 'not found';

/**
 * Confusion matrix over halls: faults by the cause of their first finding, insert lives that passed 70 % of their limit by whether they
 * were flagged, and false findings.
 */
export function confusion(scores: readonly CaseScore[]): Confusion {
  const pairs: [truth: string, found: string][] = [];
  for (const { faults, lives, findings } of scores) {
    for (const fault of faults)
      if (fault.visible && fault.sprayHours > 0) pairs.push([fault.cause, fault.found ?? MISSED]);
    for (const { flaggedAt } of lives) pairs.push(['pump-insert', flaggedAt === null ? MISSED : 'pump-insert']);
    for (const { isFalse, cause } of findings) if (isFalse) pairs.push([NOTHING, cause]);
  }
  const truths = inOrder(
    pairs.map(([truth]) => truth),
    NOTHING,
  );
  const found = inOrder(
    pairs.map(([, cause]) => cause),
    MISSED,
  );
  const counts = truths.map((truth) =>
    found.map((cause) => pairs.filter(([one, other]) => one === truth && other === cause).length),
  );
  return { truths, found, counts };
}

function inOrder(names: readonly string[], last: string): string[] {
  return [...new Set(names)].sort((a, b) => Number(a === last) - Number(b === last) || (a < b ? -1 : 1));
}
