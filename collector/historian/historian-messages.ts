import type { HistorianConfig } from './historian-config.ts';

export interface HistorianStart {
  readonly dir: string;
  readonly site: string;
  readonly config: HistorianConfig;
}

/** How the long-term store is served. */
export interface HistorianState {
  readonly delivered: number;
  readonly refused: number;
  readonly refusal: string | null;
  /** Pieces that wait. */
  readonly waiting: number;
  /** Epoch ms; null while not everything was delivered since the start. */
  readonly caughtUpAt: number | null;
  /** Why the last attempt failed; null when it did not. Holds no secrets. */
  readonly fault: string | null;
}

export type FromHistorian = { readonly kind: 'state'; readonly state: HistorianState };
export type ToHistorian = { readonly kind: 'stop' };
