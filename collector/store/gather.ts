import { CHANNELS, channelIndex } from '../contract/channels.ts';
import { CHANNEL_STEPS } from '../contract/resolution.ts';
import { type Section, WIDE } from './batch.ts';
import { type Block, EMPTY_BLOCK, newColumn, rowAt } from './block.ts';
import type { Latecomers } from './repeats.ts';

const POWDER = channelIndex('powder/id');

/** Gives a text its number: of the store's dictionary, or of one reading of it. */
export type Intern = (text: string) => number;

/**
 * The readings of some sections of one station as a block. Sections are in the order of their commits: of
 * several readings of a channel at one time the first stays.
 *
 * @param from oldest time wanted
 * @param to end of the times wanted, exclusive
 * @param latecomers takes the others, where they matter
 */
export function gather(
  sections: readonly Section[],
  from: number,
  to: number,
  intern: Intern,
  latecomers: Latecomers | null,
): Block {
  let total = 0;
  for (const section of sections) total += section.readings;
  if (total === 0) return EMPTY_BLOCK;
  const read: Readings = {
    count: 0,
    times: new Float64Array(total),
    channels: new Uint8Array(total),
    values: new Float64Array(total),
  };
  for (const section of sections) unpack(section, from, to, intern, read);
  return toBlock(read, latecomers);
}

interface Readings {
  count: number;
  readonly times: Float64Array;
  readonly channels: Uint8Array;
  readonly values: Float64Array;
}

function unpack(section: Section, from: number, to: number, intern: Intern, read: Readings): void {
  const { view, end, texts } = section;
  let n = read.count;
  for (let at = section.start; at < end; ) {
    const time = view.getFloat64(at, true);
    const count = view.getUint16(at + 8, true);
    at += 10;
    const wanted = time >= from && time < to;
    for (let i = 0; i < count; i++) {
      const tag = view.getUint8(at);
      if (!wanted) {
        at += tag & WIDE ? 9 : 5;
        continue;
      }
      const channel = tag & ~WIDE;
      let value: number;
      if (tag & WIDE) {
        value = view.getFloat64(at + 1, true);
        at += 9;
      } else {
        value = view.getInt32(at + 1, true);
        value = channel === POWDER ? intern(texts[value] ?? '') : value / (CHANNEL_STEPS[channel] as number);
        at += 5;
      }
      read.times[n] = time;
      read.channels[n] = channel;
      read.values[n] = value;
      n++;
    }
  }
  read.count = n;
}

function toBlock(read: Readings, latecomers: Latecomers | null): Block {
  const { count } = read;
  const times = distinctAscending(read.times.subarray(0, count));
  const rows = times.length;
  const columns: (Float64Array | null)[] = CHANNELS.map(() => null);
  let row = 0;
  for (let i = 0; i < count; i++) {
    const time = read.times[i] as number;
    // Mostly the same row as before or the next; anything else is looked up.
    if (times[row] !== time) row = times[row + 1] === time ? row + 1 : rowAt(times, rows, time);
    const channel = read.channels[i] as number;
    const value = read.values[i] as number;
    let column = columns[channel];
    if (!column) {
      column = newColumn(rows);
      columns[channel] = column;
    }
    if (Number.isNaN(column[row] as number)) column[row] = value;
    else latecomers?.add(read.times[i] as number, channel, value);
  }
  return { rows, times, columns };
}

function distinctAscending(times: Float64Array): Float64Array {
  const sorted = times.slice();
  let ascending = true;
  for (let i = 1; i < sorted.length && ascending; i++) ascending = (sorted[i - 1] as number) <= (sorted[i] as number);
  if (!ascending) sorted.sort();
  let rows = 0;
  for (let i = 0; i < sorted.length; i++) {
    const time = sorted[i] as number;
    if (i === 0 || time !== sorted[rows - 1]) sorted[rows++] = time;
  }
  return sorted.slice(0, rows);
}
