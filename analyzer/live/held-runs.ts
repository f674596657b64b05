import type { ExcludedSpan, RunTable } from '../../collector/contract/index.ts';
import type { Runs } from '../../collector/index.ts';
import { TICK_MS } from '../pipeline-tick-length.ts';
import { GrowingRuns } from '../runs/growing-runs.ts';
import { endingIn, LONGEST_RUN_MS, StoredRuns } from './earlier-runs.ts';
import { withPowders } from './kept-runs.ts';

/** How much of a station's runs stays in memory. */
export interface Holding {
  /** Reading time of which runs stay, ms; Infinity for all. */
  readonly runsMs: number;
  /** Runs at which a long way is interrupted to let go of some. */
  readonly mostRuns: number;
  /** Runs of all stations together that are read ahead of who goes through those that are not in memory. */
  readonly ahead: number;
}

/**
 * Source of all three: own choice. What comes late is mostly minutes or a shift old; 1000 runs are 250 kB, and 8000 some seconds of work; what is read
 * ahead is a week of eight guns, and of two hundred half a week: 30 MB at most, until those who went back are level again.
 */
export const HELD: Holding = { runsMs: 3 * 24 * 3_600_000, mostRuns: 8192, ahead: 131_072 };

/** What one of so many stations may hold. */
export function heldByEach(holding: Holding, stations: number): Holding {
  return { ...holding, ahead: Math.ceil(holding.ahead / Math.max(1, stations)) };
}

/** Runs `count` in all, the last of which starts at `lastRun` (0 for none). */
export interface StoredPart {
  readonly count: number;
  readonly lastRun: number;
  readonly powders: readonly string[];
}

/** The newest runs of a station; those before them are in the store. */
export class HeldRuns {
  readonly #station: string;
  readonly #holding: Holding;
  #runs: GrowingRuns;
  /** Runs that end later are in memory, epoch ms, a multiple of the tick. */
  #heldFrom = 0;
  /** Start of the newest run that is not in memory; 0 where all are. */
  #letGoTo = 0;
  #earlier: { readonly runs: StoredRuns; readonly excluded: string } | null = null;
  /** Runs that start from here on are not in the store as they are here. */
  #staleFrom = Number.POSITIVE_INFINITY;

  constructor(station: string, holding: Holding) {
    this.#station = station;
    this.#holding = holding;
    this.#runs = new GrowingRuns(station);
  }

  /** Where runs are added. */
  get growing(): GrowingRuns {
    return this.#runs;
  }

  /** Whether there are so many that some should be let go of. */
  get areMany(): boolean {
    return this.#runs.length - this.#runs.base > this.#holding.mostRuns;
  }

  /** Whether memory goes back so far that it may be cut back to this many. */
  reachBackTo(count: number): boolean {
    return this.#runs.base === 0 || count > this.#runs.base;
  }

  /** Start of the newest run; 0 before the first. */
  get lastRun(): number {
    const { columns, length } = this.#runs.table();
    return length > 0 ? columns.start[length - 1]! : this.#letGoTo;
  }

  /** Whether some are not in the store as they are here. */
  get areStale(): boolean {
    return this.#staleFrom < Number.POSITIVE_INFINITY;
  }

  /** Runs that start from here on are to be written, epoch ms. */
  staleFrom(start: number): void {
    this.#staleFrom = Math.min(this.#staleFrom, start);
  }

  /** Runs from this one on are to be written. */
  staleRows(row: number): void {
    if (this.#runs.length > row) this.staleFrom(this.#runs.table(row).columns.start[0]!);
  }

  /** Forgets all. */
  clear(): void {
    this.#runs = new GrowingRuns(this.#station);
    this.#heldFrom = 0;
    this.#letGoTo = 0;
    this.#earlier = null;
    this.#staleFrom = Number.POSITIVE_INFINITY;
  }

  /** Takes a part of the store's runs for what is known up to a time: the newest of them into memory. */
  begin(runs: Runs, { count, lastRun, powders }: StoredPart, time: number): void {
    this.#heldFrom = this.#heldFromAt(time);
    this.#earlier = null;
    const from = Math.max(0, this.#heldFrom - LONGEST_RUN_MS);
    const newest = runs.load(this.#station, from, count === 0 ? from : lastRun + 1);
    const held = endingIn(newest, this.#heldFrom, Number.POSITIVE_INFINITY);
    this.#runs = withPowders(held, powders, count - held.length);
    this.#letGoTo = held.length > 0 ? 0 : lastRun;
  }

  /** Writes those that are not in the store. Within the caller's transaction. */
  write(runs: Runs): void {
    if (!this.areStale) return;
    const { columns, length } = this.#runs.table();
    let row = length;
    while (row > 0 && columns.start[row - 1]! >= this.#staleFrom) row--;
    runs.replace(this.#station, this.#staleFrom, this.#runs.table(this.#runs.base + row));
    this.#staleFrom = Number.POSITIVE_INFINITY;
  }

  /** Lets go of the older ones; to be called where all are in the store. */
  letGo(time: number): void {
    const from = this.#heldFromAt(time);
    if (from <= this.#heldFrom) return;
    const { columns, length } = this.#runs.table();
    let row = 0;
    while (row < length && columns.end[row]! <= from) row++;
    if (row > 0) this.#letGoTo = columns.start[row - 1]!;
    this.#runs.letGo(this.#runs.base + row);
    this.#heldFrom = from;
    this.#earlier?.runs.reachTo(from);
  }

  /** Lets go of what was read ahead of runs that are not in memory: nobody goes through them now. */
  rest(): void {
    this.#earlier?.runs.rest();
  }

  /** Runs before those in memory; null where none are. */
  earlier(runs: Pick<Runs, 'load'>, exclusions: readonly ExcludedSpan[]): StoredRuns | null {
    if (this.#heldFrom === 0) return null;
    const own = exclusions.filter(({ gun }) => gun === this.#station);
    const excluded = JSON.stringify(own);
    if (this.#earlier?.excluded !== excluded)
      this.#earlier = { runs: new StoredRuns(runs, this.#station, this.#heldFrom, own, this.#holding.ahead), excluded };
    return this.#earlier.runs;
  }

  /** Runs that start within [from, to), wherever they are. */
  between(runs: Pick<Runs, 'load'>, from: number, to: number): RunTable {
    const isHeld = from - LONGEST_RUN_MS >= this.#heldFrom || this.#heldFrom === 0;
    return isHeld ? this.#runs.table() : runs.load(this.#station, from, to);
  }

  #heldFromAt(time: number): number {
    return Math.max(0, Math.floor((time - this.#holding.runsMs) / TICK_MS) * TICK_MS);
  }
}

/** Whether the store has the runs that a state goes on from: the last of them, or none where retention took all up to it. */
export function areStored(lastRun: number, runs: Pick<Runs, 'load'>, station: string): boolean {
  if (lastRun === 0 || runs.load(station, lastRun, lastRun + 1, ['start']).length > 0) return true;
  return runs.load(station, 0, lastRun, ['start']).length === 0;
}
