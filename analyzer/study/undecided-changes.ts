import { type DismissedChange, isSameChange, type LogEntry, mayBeDone } from '../../collector/contract/index.ts';
import { RETURNS } from '../baseline/gun-memory.ts';

/** A change that the air seems to show and nobody logged, with when that was noticed, epoch ms. */
export interface SuspectedChange extends DismissedChange {
  readonly noticed: number;
}

/** What is known of changes that nobody logged. */
export interface UnloggedChanges {
  /** Those of which nobody has said anything yet. */
  readonly undecided: readonly SuspectedChange[];
  /** What was noticed up to then on a gun, epoch ms, is no longer known, by the gun's id; all is known of guns without an entry. */
  readonly forgotten: ReadonlyMap<string, number>;
}

/** All is known, and it is nothing. */
export const NOTHING_UNLOGGED: UnloggedChanges = { undecided: [], forgotten: new Map() };

/**
 * What is known of changes that nobody logged.
 *
 * @param changes all that the analysis remembers of the guns; as it remembers so many of each, those of a gun that has as many may not be all
 */
export function unloggedChanges(
  changes: readonly SuspectedChange[],
  log: readonly LogEntry[],
  dismissals: readonly DismissedChange[],
): UnloggedChanges {
  const forgotten = new Map<string, number>();
  for (const gun of new Set(changes.map((change) => change.gun))) {
    const noticed = changes.flatMap((change) => (change.gun === gun ? [change.noticed] : []));
    if (noticed.length >= RETURNS) forgotten.set(gun, Math.min(...noticed));
  }
  return { undecided: undecidedChanges(changes, log, dismissals), forgotten };
}

/** Those of which nobody has said anything yet: neither in the log, as done when the air shows it, nor dismissed. */
export function undecidedChanges<Change extends SuspectedChange>(
  changes: readonly Change[],
  log: readonly LogEntry[],
  dismissals: readonly DismissedChange[],
): Change[] {
  const replaced = log.filter(({ action }) => action === 'replaced');
  return changes.filter(
    (change) =>
      !dismissals.some((one) => isSameChange(one, change)) &&
      !replaced.some(({ gun, part, time }) => gun === change.gun && part === change.part && mayBeDone(time, change)),
  );
}
