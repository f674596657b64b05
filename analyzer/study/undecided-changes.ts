import { type DismissedChange, isSameChange, type LogEntry, mayBeDone } from '../../collector/contract/index.ts';

/** A change that the air seems to show and nobody logged, with when that was noticed, epoch ms. */
export interface SuspectedChange extends DismissedChange {
  readonly noticed: number;
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
