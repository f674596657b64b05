import type { GunView } from '../../analyzer/index.ts';
import type { DismissedChange } from '../../collector/contract/index.ts';
import type { StoredDismissal, StoredLogEntry, StoredRelearning } from '../../collector/index.ts';

/** A change that the air seems to show and nobody logged; excess air before and after it. Times are epoch ms. */
export type OfferedChange = DismissedChange & NonNullable<GunView['silentChanges']>[number];

/** How a person confirms an offered change. */
export interface Confirmation extends DismissedChange {
  /** When it was really done, epoch ms; null: when the air shows it. */
  readonly doneAt: number | null;
  readonly found: StoredLogEntry['found'];
  readonly note: string;
}

/** What people say of baselines, and what they are asked. */
export interface BaselineSource {
  /** All that ever were, ascending by id. */
  relearnings(): readonly StoredRelearning[];
  /** @throws {AppError} BODY_INVALID for a gun or time that has nothing to learn from */
  relearn(
    what: { readonly gun: string; readonly from: number; readonly reason: string },
    who: string,
  ): StoredRelearning;
  /** @throws {AppError} NOT_FOUND */
  undoRelearning(id: number, who: string): void;
  /** Changes that wait for a person's word, newest first. */
  offered(): readonly OfferedChange[];
  /** Dismissals that hold, newest first. */
  dismissals(): readonly StoredDismissal[];
  /** Writes the change into the log. @throws {AppError} NOT_FOUND where it is not offered; LOGGED_ALREADY */
  confirm(change: Confirmation, who: string): StoredLogEntry;
  /** @throws {AppError} NOT_FOUND where it is not offered */
  dismiss(change: DismissedChange & { readonly reason: string }, who: string): StoredDismissal;
  /** @throws {AppError} NOT_FOUND */
  undoDismissal(id: number, who: string): void;
}
