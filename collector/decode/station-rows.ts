import { CHANNEL_STEPS, CHANNELS, type Channel, type Frames } from '../contract/index.ts';

/** In a column of steps: the channel was not read at that time. */
export const ABSENT = -(2 ** 31);

const FIRST_BLOCK_ROWS = 256;
const LARGEST_BLOCK_ROWS = 16_384;

/** Some rows of one station as they came, from one file. */
export interface RowBlock {
  readonly file: number;
  readonly times: Float64Array;
  /** Line of the file that each row stands on. */
  readonly lines: Uint32Array;
  /** By channel index; whole steps of the channel's resolution, or ABSENT. None for a channel of which nothing was read. */
  readonly columns: (Int32Array | undefined)[];
  length: number;
}

/** The column of a channel; begun with nothing in it where there is none. */
export function columnOf(block: RowBlock, channel: number): Int32Array {
  let column = block.columns[channel];
  if (column === undefined) {
    column = new Int32Array(block.times.length).fill(ABSENT);
    block.columns[channel] = column;
  }
  return column;
}

/**
 * Rows of one station in the order in which they came. Values are whole steps in 32 bits: half the memory
 * of floating point, and exact.
 */
export class StationRows {
  readonly station: string;
  readonly blocks: RowBlock[] = [];
  rows = 0;
  /** True while every row was later than the one before. */
  ascending = true;
  lastTime = Number.NEGATIVE_INFINITY;
  private last: RowBlock | null = null;

  constructor(station: string) {
    this.station = station;
  }

  /** The block that takes the next row of this file. */
  open(file: number): RowBlock {
    const { last } = this;
    if (last !== null && last.file === file && last.length < last.times.length) return last;
    const capacity = last === null ? FIRST_BLOCK_ROWS : Math.min(LARGEST_BLOCK_ROWS, last.times.length * 2);
    const block = {
      file,
      times: new Float64Array(capacity),
      lines: new Uint32Array(capacity),
      columns: CHANNELS.map(() => undefined),
      length: 0,
    };
    this.blocks.push(block);
    this.last = block;
    return block;
  }

  /** Counts a row that was written into a block, and notes whether time still ascends. */
  added(time: number): void {
    this.rows++;
    if (time <= this.lastTime) this.ascending = false;
    else this.lastTime = time;
  }
}

/** Memory for the columns of one block at a time, by channel index. */
export const blockMemory = (): Float64Array[] => CHANNELS.map(() => new Float64Array(LARGEST_BLOCK_ROWS));

/**
 * Rows of a block as frames: steps become canonical units.
 *
 * @param names the powder ids that indices point to
 * @param memory where the columns are to be; default: memory of their own
 */
export function toFrames(
  station: string,
  block: RowBlock,
  names: readonly string[],
  memory: readonly Float64Array[] | null = null,
): Frames {
  const rows = block.length;
  const columns: Partial<Record<Channel, Float64Array>> = {};
  const strings: string[] = [];
  for (const [index, channel] of CHANNELS.entries()) {
    const steps = block.columns[index];
    if (steps === undefined) continue;
    const column = memory === null ? new Float64Array(rows) : memory[index]!.subarray(0, rows);
    const seen =
      channel.kind === 'string'
        ? nameRows(steps, names, column, strings)
        : unitRows(steps, CHANNEL_STEPS[index] as number, column);
    if (seen > 0) columns[channel.name] = column;
  }
  return { station, times: block.times.subarray(0, rows), columns, strings };
}

/** @returns how many of them were read */
function unitRows(steps: Int32Array, perUnit: number, column: Float64Array): number {
  let seen = 0;
  for (let row = 0; row < column.length; row++) {
    const step = steps[row] as number;
    if (step !== ABSENT) seen++;
    column[row] = step === ABSENT ? Number.NaN : step / perUnit;
  }
  return seen;
}

/** Indices within the frames' own list of strings. @returns how many of them were read */
function nameRows(steps: Int32Array, names: readonly string[], column: Float64Array, strings: string[]): number {
  const places = new Map<number, number>();
  let seen = 0;
  for (let row = 0; row < column.length; row++) {
    const name = steps[row] as number;
    if (name !== ABSENT) seen++;
    column[row] = name === ABSENT ? Number.NaN : place(name, names, strings, places);
  }
  return seen;
}

/** Index of a powder within the frames' own list of strings. */
function place(name: number, names: readonly string[], strings: string[], places: Map<number, number>): number {
  const known = places.get(name);
  if (known !== undefined) return known;
  places.set(name, strings.length);
  strings.push(names[name] as string);
  return strings.length - 1;
}
