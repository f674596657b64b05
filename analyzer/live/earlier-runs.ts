import type { ExcludedSpan, RunTable } from '../../collector/contract/index.ts';
import type { Runs } from '../../collector/index.ts';
import type { RunSpan } from '../pipeline-runs.ts';
import { excludeRuns } from '../runs/exclude-runs.ts';
import { firstEndAfter } from '../runs/first-end-after.ts';
import type { EarlierRuns } from '../site.ts';
import { copyOf, rowsOf } from './kept-runs.ts';

/** No run is longer, ms: the longest piece of a pull, and a silence that it outlasts, with room. */
export const LONGEST_RUN_MS = 10 * 60_000;

/** Longest reading time that is read ahead, and what is read first, ms. Source: own choice: runs of a day are a fraction of a chunk, those of a week one or two. */
const LONGEST_PIECE_MS = 7 * 24 * 3_600_000;
const FIRST_PIECE_MS = 24 * 3_600_000;

/** Runs of a gun that a store has and memory has let go of. Whoever goes through them hour by hour finds the next ones read ahead. */
export class StoredRuns implements EarlierRuns {
  readonly #runs: Pick<Runs, 'load'>;
  readonly #gun: string;
  readonly #exclusions: readonly ExcludedSpan[];
  readonly #mostAhead: number;
  #until: number;
  #piece: { readonly from: number; readonly to: number; readonly table: RunTable } | null = null;
  #pieceMs = FIRST_PIECE_MS;

  /**
   * @param until runs that end after this are not asked for, epoch ms
   * @param mostAhead runs that are kept beyond those that were asked for
   */
  constructor(
    runs: Pick<Runs, 'load'>,
    gun: string,
    until: number,
    exclusions: readonly ExcludedSpan[],
    mostAhead: number,
  ) {
    this.#runs = runs;
    this.#gun = gun;
    this.#until = until;
    this.#exclusions = exclusions;
    this.#mostAhead = mostAhead;
  }

  get until(): number {
    return this.#until;
  }

  between(from: number, to: number): RunSpan {
    // Who asks for more at once does not come back for the rest of it.
    const { table } = to - from > LONGEST_PIECE_MS ? this.#read(from, to) : this.#pieceWith(from, to);
    const { end } = table.columns;
    const [first, last] = [firstEndAfter(end, table.length, from), firstEndAfter(end, table.length, to)];
    return { gun: this.#gun, table, from: first, to: last };
  }

  /** Memory has let go of more: runs up to here are in the store now, and those before as they were. */
  reachTo(until: number): void {
    this.#until = until;
  }

  /** Lets go of what was read ahead. */
  rest(): void {
    this.#piece = null;
  }

  #pieceWith(from: number, to: number): { readonly table: RunTable } {
    const known = this.#piece;
    if (known !== null && from >= known.from && to <= known.to) return known;
    // Nothing of the last one is needed while the next is read.
    this.#piece = null;
    const read = this.#read(from, Math.max(to, Math.min(this.#until, from + this.#pieceMs)));
    const { end } = read.table.columns;
    const most = firstEndAfter(end, read.table.length, to) + this.#mostAhead;
    const isCut = read.table.length > most;
    const upTo = isCut ? Math.max(to, end[most - 1] ?? 0) : read.to;
    this.#pieceMs = isCut ? Math.max(FIRST_PIECE_MS, upTo - from) : Math.min(2 * this.#pieceMs, LONGEST_PIECE_MS);
    // A copy: what was read is a view of whole chunks.
    this.#piece = { from, to: upTo, table: copyOf(read.table, firstEndAfter(end, read.table.length, upTo)) };
    return this.#piece;
  }

  #read(from: number, to: number): { readonly from: number; readonly to: number; readonly table: RunTable } {
    const loaded = this.#runs.load(this.#gun, Math.max(0, from - LONGEST_RUN_MS), to);
    return { from, to, table: excludeRuns(endingIn(loaded, from, to), this.#exclusions) };
  }
}

/** The runs of a table that end within (from, to], as a view. */
export function endingIn(table: RunTable, from: number, to: number): RunTable {
  const { end } = table.columns;
  return rowsOf(table, firstEndAfter(end, table.length, from), firstEndAfter(end, table.length, to));
}
