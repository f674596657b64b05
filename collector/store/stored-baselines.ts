import type { BaselineWords, DismissedChange, Relearning } from '../contract/baseline-words.ts';

// What people said of baselines, as a store keeps it. Nothing is overwritten. Times are epoch ms.

export interface StoredRelearning extends Relearning {
  readonly id: number;
  readonly reason: string;
  /** When it was written down, by the wall clock. */
  readonly at: number;
  readonly who: string;
  readonly undoneAt: number | null;
  readonly undoneBy: string | null;
}

export interface StoredDismissal extends DismissedChange {
  readonly id: number;
  readonly reason: string;
  readonly at: number;
  readonly who: string;
  readonly undoneAt: number | null;
  readonly undoneBy: string | null;
}

/** When something was written down, and by whom. */
interface Written {
  readonly at: number;
  readonly who: string;
}

export interface Baselines {
  relearn(what: Omit<Relearning, 'undone'> & { readonly reason: string }, written: Written): StoredRelearning;
  /**
   * @param undone reading time from which the baseline of before holds again
   * @returns false when there is no such one, or it was undone before
   */
  undoRelearning(id: number, undone: number, written: Written): boolean;
  /** All that ever were, ascending by id. */
  relearnings(): StoredRelearning[];
  dismiss(what: DismissedChange & { readonly reason: string }, written: Written): StoredDismissal;
  /** @returns false when there is no such one, or it was undone before */
  undoDismissal(id: number, written: Written): boolean;
  /** Those that hold, or all that ever did; ascending by id. */
  dismissals(filter?: { undone?: boolean }): StoredDismissal[];
  /** What the analysis follows. */
  words(): BaselineWords;
}
