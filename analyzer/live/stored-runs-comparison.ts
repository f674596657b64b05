import type { Runs } from '../../collector/index.ts';
import type { HeldRuns } from './held-runs.ts';
import { firstRunChange } from './track-change.ts';

/** Runs that are cut anew beside what the store has of them, piece by piece; marks those that are to be written. */
export class StoredRunsComparison {
  readonly #runs: HeldRuns;
  readonly #stored: Pick<Runs, 'load'>;
  /** Runs that were compared or are from before. */
  #compared: number;
  /** Start from which the store has those that come next, epoch ms. */
  #from: number;
  #changed = Number.POSITIVE_INFINITY;

  /** @param cut how many runs there are before the first that is cut anew */
  constructor(runs: HeldRuns, stored: Pick<Runs, 'load'>, cut: number) {
    this.#runs = runs;
    this.#stored = stored;
    this.#compared = cut;
    this.#from = runs.lastRun + 1;
  }

  /** Start of the first run that is another than in the store, epoch ms; Infinity when there was none so far. */
  get changed(): number {
    return this.#changed;
  }

  /**
   * Compares what was cut since it was last called.
   *
   * @param to start before which all runs are cut, epoch ms
   * @param cut how many runs there are now
   */
  compare(to: number, cut: number): void {
    // Once written, the store has nothing of the old ones from there on.
    if (this.#changed < Number.POSITIVE_INFINITY) this.#runs.staleRows(this.#compared);
    else {
      const old = this.#stored.load(this.#runs.growing.gun, this.#from, to);
      this.#changed = firstRunChange(old, this.#runs.growing.table(this.#compared));
      this.#runs.staleFrom(this.#changed);
    }
    this.#compared = cut;
    this.#from = to;
  }
}
