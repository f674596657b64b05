import type { Plant } from '../contract/index.ts';
import type { Store } from '../store/store.ts';

/** What imports inside the service need. */
export interface ImportDeskOptions {
  readonly dir: string;
  readonly store: Store;
  readonly plant: Plant;
  /** Longest file and longest piece of one, bytes. */
  readonly maxFileBytes: number;
  readonly maxPieceBytes: number;
  /** Wall clock, epoch ms. */
  readonly now: () => number;
}
