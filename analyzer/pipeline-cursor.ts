import type { RunTable } from '../collector/contract/index.ts';
import type { RunSpan } from './pipeline-runs.ts';
import type { Track } from './site.ts';

/**
 * Reading time of one piece of runs that are not at hand, ms. Source: own choice, half a megabyte of a gun that sprays all day; a
 * multiple of the tick, so that no tick has runs of two pieces.
 */
const PIECE_MS = 7 * 24 * 3_600_000;

/** Goes through the runs of one gun in order, whether they are at hand or have to be read piece by piece. */
export class RunCursor {
  readonly #gun: string;
  readonly #track: Track;
  #table: RunTable;
  #ends: Float64Array;
  #row: number;
  /** Up to where runs were read; Infinity once those at hand are gone through. */
  #to: number;

  /** @param from epoch ms, a multiple of the tick: runs that ended by then are passed over */
  constructor(gun: string, track: Track, from: number) {
    this.#gun = gun;
    this.#track = track;
    this.#table = track.runs;
    this.#ends = track.runs.columns.end;
    this.#to = from;
    this.#row = this.#table.length;
    this.#read();
  }

  /** When the next run ends, epoch ms; Infinity after the last. */
  get end(): number {
    return this.#row < this.#table.length ? this.#ends[this.#row]! : Number.POSITIVE_INFINITY;
  }

  /** Takes the runs that end by a tick; null where there are none. */
  take(now: number): RunSpan | null {
    const [ends, table, from] = [this.#ends, this.#table, this.#row];
    const { length } = table;
    let row = from;
    while (row < length && ends[row]! <= now) row++;
    if (row === from) return null;
    this.#row = row;
    if (row === length) this.#read();
    return { gun: this.#gun, table, from, to: row };
  }

  /** Reads on until there are runs, or none are left. */
  #read(): void {
    const { earlier, runs } = this.#track;
    while (this.#to < (earlier?.until ?? 0)) {
      const to = Math.min((Math.floor(this.#to / PIECE_MS) + 1) * PIECE_MS, earlier!.until);
      const piece = earlier!.between(this.#to, to);
      this.#to = to;
      if (piece.length === 0) continue;
      this.#table = piece;
      this.#ends = piece.columns.end;
      this.#row = 0;
      return;
    }
    if (this.#to === Number.POSITIVE_INFINITY) return;
    this.#table = runs;
    this.#ends = runs.columns.end;
    this.#row = firstAbove(this.#ends, runs.length, this.#to);
    this.#to = Number.POSITIVE_INFINITY;
  }
}

/** First row of an ascending column with a value above `limit`. */
function firstAbove(column: Float64Array, length: number, limit: number): number {
  let low = 0;
  let high = length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (column[middle]! > limit) high = middle;
    else low = middle + 1;
  }
  return low;
}
