import type { Plant } from '../../collector/contract/index.ts';
import type { BaselineAnswer } from './gun-baseline.ts';
import type { HistoryAnswer, HistoryQuestion } from './gun-history.ts';

export interface HistoryStart {
  readonly dir: string;
  readonly plant: Plant;
}

export type HistoryAsk =
  | { readonly kind: 'history'; readonly question: HistoryQuestion }
  | { readonly kind: 'baseline'; readonly gun: string }
  /** Runs of a gun that start in [from, to), epoch ms, as a Parquet file. */
  | { readonly kind: 'parquet'; readonly gun: string; readonly from: number; readonly to: number };

export interface HistoryOrder {
  readonly id: number;
  readonly ask: HistoryAsk;
}

export type HistoryNews =
  | { readonly id: number; readonly answer: HistoryAnswer | BaselineAnswer | Uint8Array }
  | { readonly id: number; readonly fault: string };
