import type { Finding, Judgement } from '../../collector/contract/index.ts';

/** A person's word on a finding that was raised, with the time for which that finding was open. */
export interface SpannedJudgement extends Judgement {
  /** When the finding was cleared, epoch ms; null while it is open, absent where that is not known. */
  readonly until?: number | null | undefined;
}

/**
 * The word that people said of a finding: with other settings the same finding is raised sooner or later, and what was said of it
 * still holds.
 *
 * @param words in the order in which they were said
 * @returns the word on just this finding, else the newest on one of the same gun and cause that was open at the same time
 */
export function wordOnFinding(
  { gun, cause, raised, cleared }: Finding,
  words: readonly SpannedJudgement[],
): SpannedJudgement | undefined {
  const [from, to] = [Date.parse(raised), cleared === null ? Number.POSITIVE_INFINITY : Date.parse(cleared)];
  const own = words.filter((word) => word.gun === gun && word.cause === cause);
  return (
    own.find((word) => word.raised === from) ??
    own.findLast((word) => {
      const until = word.until === null ? Number.POSITIVE_INFINITY : (word.until ?? word.raised);
      return word.raised <= to && from <= until;
    })
  );
}
