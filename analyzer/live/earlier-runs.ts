import type { ExcludedSpan, RunTable } from '../../collector/contract/index.ts';
import type { Runs } from '../../collector/index.ts';
import { excludeRuns } from '../runs/exclude-runs.ts';
import type { EarlierRuns } from '../site.ts';
import { rowsOf } from './kept-runs.ts';

/** No run is longer, ms: the longest piece of a pull, and a silence that it outlasts, with room. */
export const LONGEST_RUN_MS = 10 * 60_000;

/** Runs of a gun that a store has and memory has let go of. */
export class StoredRuns implements EarlierRuns {
  readonly until: number;
  readonly #runs: Pick<Runs, 'load'>;
  readonly #gun: string;
  readonly #exclusions: readonly ExcludedSpan[];
  /** What was read last: whoever goes through a day hour by hour asks for the same piece. */
  #piece: { readonly from: number; readonly to: number; readonly table: RunTable } | null = null;

  /** @param until runs that end after this are not asked for, epoch ms */
  constructor(runs: Pick<Runs, 'load'>, gun: string, until: number, exclusions: readonly ExcludedSpan[] = []) {
    this.#runs = runs;
    this.#gun = gun;
    this.until = until;
    this.#exclusions = exclusions;
  }

  between(from: number, to: number): RunTable {
    if (this.#piece === null || from < this.#piece.from || to !== this.#piece.to) {
      const loaded = this.#runs.load(this.#gun, Math.max(0, from - LONGEST_RUN_MS), to);
      this.#piece = { from, to, table: excludeRuns(endingIn(loaded, from, to), this.#exclusions) };
    }
    return endingIn(this.#piece.table, from, to);
  }
}

/** The runs of a table that end within (from, to], as a view. */
export function endingIn(table: RunTable, from: number, to: number): RunTable {
  const { end } = table.columns;
  let first = 0;
  while (first < table.length && end[first]! <= from) first++;
  let last = table.length;
  while (last > first && end[last - 1]! > to) last--;
  return rowsOf(table, first, last);
}
