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
  /** By channel index; whole steps of the channel's resolution, or ABSENT. */
  readonly columns: readonly (Int32Array | undefined)[];
  length: number;
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

  constructor(station: string) {
    this.station = station;
  }

  /** The block that takes the next row of this file; `channels` are the indices that the file carries. */
  open(file: number, channels: readonly number[]): RowBlock {
    const last = this.blocks.at(-1);
    if (last !== undefined && last.file === file && last.length < last.times.length) return last;
    const capacity = last === undefined ? FIRST_BLOCK_ROWS : Math.min(LARGEST_BLOCK_ROWS, last.times.length * 2);
    const columns: (Int32Array | undefined)[] = CHANNELS.map(() => undefined);
    for (const channel of channels) columns[channel] = new Int32Array(capacity);
    const block = {
      file,
      times: new Float64Array(capacity),
      lines: new Uint32Array(capacity),
      columns,
      length: 0,
    };
    this.blocks.push(block);
    return block;
  }

  /** Counts a row that was written into a block, and notes whether time still ascends. */
  added(time: number): void {
    this.rows++;
    if (time <= this.lastTime) this.ascending = false;
    else this.lastTime = time;
  }
}

/** Rows of a block as frames: steps become canonical units; `names` are the powder ids that indices point to. */
export function toFrames(station: string, block: RowBlock, names: readonly string[]): Frames {
  const rows = block.length;
  const columns: Partial<Record<Channel, Float64Array>> = {};
  const strings: string[] = [];
  const places = new Map<number, number>();
  for (const [index, channel] of CHANNELS.entries()) {
    const steps = block.columns[index];
    if (steps === undefined) continue;
    const perUnit = CHANNEL_STEPS[index] as number;
    const named = channel.kind === 'string';
    const column = new Float64Array(rows);
    let seen = 0;
    for (let row = 0; row < rows; row++) {
      const step = steps[row] as number;
      if (step === ABSENT) {
        column[row] = Number.NaN;
        continue;
      }
      seen++;
      column[row] = named ? place(step, names, strings, places) : step / perUnit;
    }
    if (seen > 0) columns[channel.name] = column;
  }
  return { station, times: block.times.slice(0, rows), columns, strings };
}

/** Index of a powder within the frames' own list of strings. */
function place(name: number, names: readonly string[], strings: string[], places: Map<number, number>): number {
  const known = places.get(name);
  if (known !== undefined) return known;
  places.set(name, strings.length);
  strings.push(names[name] as string);
  return strings.length - 1;
}
