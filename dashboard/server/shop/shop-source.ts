import type { CostFigures, Losses, StockItem } from '../../../analyzer/index.ts';
import type { LogEntry, PartId } from '../../../collector/contract/index.ts';
import type { CostAnswer, StatedCosts, StatedLosses } from './cost-model.ts';
import type { JournalLine, Report } from './journal-model.ts';
import type { LifeAnswer } from './life-model.ts';
import type { StockLine, StockMoveBody, StockStep } from './stock-model.ts';

/** Who writes something, and the version that they had before them. */
export interface Written {
  readonly who: string;
  readonly seen: number;
}

/** Shelf, lives, costs and records of the site: what the shop keeps beside findings and jobs. */
export interface ShopSource {
  /** Parts in the contract's order. */
  stock(): readonly StockLine[];
  /** @throws {AppError} EDITED_MEANWHILE */
  stateItem(part: PartId, item: StockItem, written: Written): StockLine;
  /** @throws {AppError} STOCK_SHORT where more is taken than is there; BODY_INVALID */
  move(body: StockMoveBody, record: { readonly who: string; readonly key?: string | undefined }): StockLine;
  /** @throws {AppError} NOT_FOUND, EDITED_MEANWHILE, STOCK_SHORT */
  undoMove(id: number, who: string): StockLine;
  /** Newest first. */
  steps(query: { readonly part: PartId | null; readonly limit: number }): readonly StockStep[];
  /** Why a part for a job is not at hand, in a sentence; null where it is, or no stock of it is kept. */
  shortOf(part: string): string | null;

  lives(query: {
    readonly part: PartId | null;
    readonly by: 'all' | 'family' | 'gun';
    readonly measure: 'sprayHours' | 'kilograms';
  }): LifeAnswer;

  costs(months: { readonly from: string; readonly to: string }): Promise<CostAnswer>;
  costFigures(): StatedCosts;
  /** @throws {AppError} EDITED_MEANWHILE */
  stateCosts(figures: CostFigures, written: Written): StatedCosts;
  losses(): readonly StatedLosses[];
  /** @throws {AppError} EDITED_MEANWHILE, BODY_INVALID for a gun that is not there */
  stateLosses(month: string, gun: string, losses: Losses, written: Written): StatedLosses;

  /** Newest first by when it happened. */
  journal(query: { readonly from: number; readonly to: number; readonly limit: number }): readonly JournalLine[];
  /**
   * Takes a log entry back, and puts another in its place where one is given.
   *
   * @throws {AppError} NOT_FOUND, EDITED_MEANWHILE
   */
  correct(
    entry: number,
    correction: {
      readonly who: string;
      readonly why: string;
      readonly replacement: LogEntry | null;
      readonly key?: string | undefined;
    },
  ): { readonly entry: number; readonly replacement: number | null };
  report(kind: 'shift' | 'week', at: number): Report;
}
