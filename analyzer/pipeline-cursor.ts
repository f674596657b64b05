import type { RunTable } from '../collector/contract/index.ts';
import type { RunSpan } from './pipeline-runs.ts';
import { TICK_MS } from './pipeline-tick-length.ts';
import { firstEndAfter } from './runs/first-end-after.ts';
import type { Track } from './site.ts';

/**
 * Longest reading time that is asked for of runs that are not at hand, ms. Source: own choice, half a megabyte of a gun that sprays all day; a
 * multiple of the tick, so that no tick has runs of two pieces.
 */
const PIECE_MS = 7 * 24 * 3_600_000;

/** Goes through the runs of one gun in order, whether they are at hand or have to be read piece by piece. */
export class RunCursor {
  readonly #gun: string;
  readonly #track: Track;
  readonly #last: number;
  #table: RunTable;
  #ends: Float64Array;
  #row: number;
  /** Rows of the table from here on are not gone through. */
  #length: number;
  /** Up to where runs were read; Infinity once those at hand are gone through. */
  #to: number;

  /**
   * @param from epoch ms, a multiple of the tick: runs that ended by then are passed over
   * @param last epoch ms: of runs that end later, those that are not at hand are not read
   */
  constructor(gun: string, track: Track, from: number, last: number) {
    this.#gun = gun;
    this.#track = track;
    this.#last = last;
    this.#table = track.runs;
    this.#ends = track.runs.columns.end;
    // A state that has seen nothing begins decades before the first reading.
    this.#to = track.earlier === undefined ? from : Math.max(from, Math.floor(track.firstTime / TICK_MS) * TICK_MS);
    this.#row = 0;
    this.#length = 0;
    this.#read();
  }

  /** When the next run ends, epoch ms; Infinity after the last. */
  get end(): number {
    return this.#row < this.#length ? this.#ends[this.#row]! : Number.POSITIVE_INFINITY;
  }

  /** Takes the runs that end by a tick; null where there are none. */
  take(now: number): RunSpan | null {
    const [ends, table, from, length] = [this.#ends, this.#table, this.#row, this.#length];
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
    const until = Math.min(earlier?.until ?? 0, this.#last);
    while (this.#to < until) {
      const to = Math.min((Math.floor(this.#to / PIECE_MS) + 1) * PIECE_MS, until);
      const rows = earlier!.between(this.#to, to);
      this.#to = to;
      if (rows.from === rows.to) continue;
      this.#table = rows.table;
      this.#ends = rows.table.columns.end;
      this.#row = rows.from;
      this.#length = rows.to;
      return;
    }
    if (this.#to === Number.POSITIVE_INFINITY) return;
    this.#table = runs;
    this.#ends = runs.columns.end;
    this.#row = firstEndAfter(this.#ends, runs.length, this.#to);
    this.#length = runs.length;
    this.#to = Number.POSITIVE_INFINITY;
  }
}
