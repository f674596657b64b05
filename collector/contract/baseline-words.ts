/**
 * A gun's baseline is to be learnt anew from a time on, as if the gun were commissioned then. Times are epoch ms of reading time.
 */
export interface Relearning {
  readonly gun: string;
  /** From when on runs teach it. */
  readonly from: number;
  /** From when on findings follow it: what was raised before stays as it was. */
  readonly decided: number;
  /** From when on the baseline of before holds again; null while this one does. */
  readonly undone: number | null;
}

/** A change that the air seems to show and that nobody logged, of which a person says that it never was. */
export interface DismissedChange {
  readonly gun: string;
  readonly part: string;
  /** When it seemed to happen, epoch ms. */
  readonly time: number;
}

/** What people said of baselines. */
export interface BaselineWords {
  readonly relearnings: readonly Relearning[];
  readonly dismissals: readonly DismissedChange[];
}

/** A suspected change is the one that was dismissed up to so far apart, ms: late readings may date it a little otherwise. Source: own choice, a shift and a half. */
export const SAME_CHANGE_MS = 12 * 3_600_000;

/** Whether a dismissal is about this suspected change. */
export function isSameChange(one: DismissedChange, { gun, part, time }: DismissedChange): boolean {
  return one.gun === gun && one.part === part && Math.abs(one.time - time) <= SAME_CHANGE_MS;
}

/** When the air shows a change, and when that was noticed, epoch ms. */
interface ShownChange {
  readonly time: number;
  readonly noticed: number;
}

/**
 * When work may have been done that the air showed later, first and last, epoch ms: charts date a step to some blocks, which may be days
 * where the gun stood still between them, but never notice it before it was there.
 */
export function mayBeDoneWithin({ time, noticed }: ShownChange): readonly [first: number, last: number] {
  return [time - SAME_CHANGE_MS, Math.max(noticed, time + SAME_CHANGE_MS)];
}

/** Whether work that was done at a time, epoch ms, may be what the air shows. */
export function mayBeDone(done: number, change: ShownChange): boolean {
  const [first, last] = mayBeDoneWithin(change);
  return done >= first && done <= last;
}
