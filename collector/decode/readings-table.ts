import { type Frames, printable } from '../contract/index.ts';
import type { ClockFact, RangeFact, ReadingFacts } from './reading-facts.ts';
import { settleRows } from './settle-rows.ts';
import { blockMemory, type RowBlock, type StationRows, toFrames } from './station-rows.ts';
import type { FileReport, Tally } from './tally.ts';

/** Readings further from the median are taken for faults of a clock. Source: own choice, because no export spans more; years of 365.25 days. */
const FIVE_YEARS_MS = 5 * 365.25 * 86_400_000;

/** Readings of a whole command as columns, and what is to be told about them. */
export interface ReadingsTable {
  /** Stations with at least one reading, in the plant file's order. */
  readonly stations: readonly string[];
  /** All readings of a station; empty frames for one without any. */
  frames(station: string): Frames;
  /** The same in blocks of at most 16 384 rows, ascending, each in the memory of the one before: for spans that should not be in memory twice. */
  blocks(station: string): Generator<Frames>;
  /** One per file, in the order in which they were read. */
  readonly reports: readonly FileReport[];
  readonly rangeFacts: readonly RangeFact[];
  readonly clockFacts: readonly ClockFact[];
}

/** Brings everything into order once all files are read: far times out, rows sorted, repeats merged. */
export function finishReadings(
  rows: readonly StationRows[],
  names: readonly string[],
  tallies: readonly Tally[],
  facts: ReadingFacts,
): ReadingsTable {
  const median = medianIfSpread(rows);
  const isFar = median === null ? null : (time: number) => Math.abs(time - median) > FIVE_YEARS_MS;
  const settled = new Map<string, StationRows>();
  for (const [station, one] of rows.entries()) {
    const result = settleRows(one, {
      drop: isFar,
      dropped(file, line, time, near) {
        const tally = tallies[file] as Tally;
        tally.unusable('far-from-median', line);
        tally.usableRows--;
        facts.clock(station, near, time);
      },
      repeated: (file) => {
        (tallies[file] as Tally).repeated++;
      },
      conflicting: (file, _channel, line) => (tallies[file] as Tally).conflict(line),
    });
    // The rows as they came are needed no more: their memory is.
    if (result !== one) one.blocks.length = 0;
    if (result.rows > 0) settled.set(one.station, result);
  }
  return {
    stations: [...settled.keys()],
    frames: (station) => joined(station, settled.get(station)?.blocks ?? [], names),
    *blocks(station) {
      const memory = blockMemory();
      for (const block of settled.get(station)?.blocks ?? []) yield toFrames(station, block, names, memory);
    },
    reports: tallies.map((tally) => tally.report()),
    rangeFacts: facts.rangeFacts().filter((fact) => !isFar?.(fact.time)),
    clockFacts: facts.clockFacts().filter((fact) => fact.time === null || !isFar?.(fact.time)),
  };
}

/** Median time of all rows; null where no row can be five years from it. */
function medianIfSpread(rows: readonly StationRows[]): number | null {
  let [earliest, latest, count] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0];
  for (const { blocks } of rows) {
    for (const { times, length } of blocks) {
      for (let row = 0; row < length; row++) {
        const time = times[row] as number;
        if (time < earliest) earliest = time;
        if (time > latest) latest = time;
      }
      count += length;
    }
  }
  if (latest - earliest <= FIVE_YEARS_MS || count === 0) return null;
  const all = new Float64Array(count);
  let at = 0;
  for (const { blocks } of rows) {
    for (const { times, length } of blocks) {
      all.set(times.subarray(0, length), at);
      at += length;
    }
  }
  all.sort();
  return all[Math.floor((count - 1) / 2)] as number;
}

/** All blocks of a station as one. */
function joined(station: string, blocks: readonly RowBlock[], names: readonly string[]): Frames {
  const length = blocks.reduce((sum, block) => sum + block.length, 0);
  const times = new Float64Array(length);
  const columns: (Int32Array | undefined)[] = [];
  const widest = blocks.find(Boolean)?.columns.length ?? 0;
  for (let channel = 0; channel < widest; channel++) {
    columns[channel] = blocks.some((block) => block.columns[channel])
      ? new Int32Array(length).fill(-(2 ** 31))
      : undefined;
  }
  let at = 0;
  for (const block of blocks) {
    times.set(block.times.subarray(0, block.length), at);
    for (const [channel, column] of block.columns.entries()) {
      if (column !== undefined) columns[channel]?.set(column.subarray(0, block.length), at);
    }
    at += block.length;
  }
  return toFrames(printable(station), { file: 0, times, lines: new Uint32Array(0), columns, length }, names);
}
