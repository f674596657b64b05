import type { Channel, Frames } from '../../collector/contract/index.ts';
import { FLOW, OUTPUT, PULL_CHANNELS } from './pull-channels.ts';
import { WATCHED } from './streaks.ts';
import type { WatchedRows } from './watch-rows.ts';

/**
 * The rows of a block while stage one goes through them. What only matters when a pull ends or streaks are judged is taken over
 * then, column by column: row by row it costs several times as much.
 */
export interface BlockRows extends WatchedRows {
  /** By place in PULL_CHANNELS; nothing but NaN where the block has none. */
  readonly read: readonly Float64Array[];
  /** The same for a pull: of a set output what holds at each row. */
  readonly kept: readonly Float64Array[];
  readonly flows: Float64Array;
  readonly outputs: Float64Array;
  readonly triggers: Float64Array;
  readonly powders: Float64Array;
  readonly temperatures: Float64Array;
  readonly dewPoints: Float64Array;
  readonly strings: readonly string[];
  /** The powder read last, by its place in `strings` and in the run table. */
  powder: number;
  powderPlace: number;
  /** Rows before these are in the open pull, and in the streaks. */
  keptTo: number;
  watchedTo: number;
}

let absent = new Float64Array(0);
let held = new Float64Array(0);
let spraying = new Uint8Array(0);
let switches = new Float64Array(0);

/**
 * @param outputSet the output is a set value: `kept` gets a column for what holds, which whoever goes through the rows fills in
 * @returns rows in memory that the next block takes over
 */
export function blockRows(frames: Frames, outputSet: boolean): BlockRows {
  const { times, columns, strings } = frames;
  if (absent.length < times.length) {
    absent = new Float64Array(times.length).fill(Number.NaN);
    held = new Float64Array(times.length);
    spraying = new Uint8Array(times.length);
    switches = new Float64Array(times.length);
  }
  const column = (name: Channel): Float64Array => columns[name] ?? absent;
  const read = PULL_CHANNELS.map(column);
  const kept = PULL_CHANNELS.map((_, channel) => (outputSet && channel === OUTPUT ? held : read[channel]!));
  return {
    times,
    columns: WATCHED.map((name) => columns[name] ?? null),
    spraying,
    switches,
    read,
    kept,
    flows: read[FLOW]!,
    outputs: read[OUTPUT]!,
    triggers: column('trigger'),
    powders: column('powder/id'),
    temperatures: column('supply/temperature'),
    dewPoints: column('supply/dewpoint'),
    strings,
    powder: -1,
    powderPlace: -1,
    keptTo: 0,
    watchedTo: 0,
  };
}
