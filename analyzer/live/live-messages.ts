import type { Plant } from '../../collector/contract/index.ts';
import type { ClockReport, StationCommit } from '../../collector/index.ts';
import type { LiveUpdate } from './live-update.ts';

/** What the analyzer's thread is started with. */
export interface LiveStart {
  readonly dir: string;
  readonly plant: Plant;
}

/** From the main thread to the analyzer's. */
export type LiveOrder =
  // `isBurst`: more has come than stations send live.
  | { readonly kind: 'committed'; readonly stations: readonly StationCommit[]; readonly isBurst: boolean }
  | { readonly kind: 'records-changed' }
  | { readonly kind: 'clocks'; readonly reports: readonly ClockReport[] }
  /** Answer once all that was told before is in what was shown last. */
  | { readonly kind: 'settle'; readonly id: number }
  | { readonly kind: 'stop' };

/** From the analyzer's thread to the main thread. */
export type LiveNews =
  | { readonly kind: 'ready' }
  | { readonly kind: 'update'; readonly update: LiveUpdate }
  | { readonly kind: 'settled'; readonly id: number }
  | { readonly kind: 'stopped' };
