import { CHANNELS, type Channel, channelIndex } from '../contract/channels.ts';
import type { Frames } from '../contract/frames.ts';
import type { Block } from './block.ts';
import { ALL_CHANNELS } from './chunk-table.ts';

const POWDER = channelIndex('powder/id');

/** Channels as bits. */
export function channelBits(channels: readonly Channel[] | undefined): number {
  if (!channels) return ALL_CHANNELS;
  return channels.reduce((bits, name) => bits | (1 << channelIndex(name)), 0);
}

/**
 * A block as frames for a reader: only columns that hold anything, and powder ids numbered in the order in
 * which they first appear, so that the same readings give the same frames wherever they are kept.
 *
 * @param texts powder ids by the number that the block has
 */
export function toFrames(station: string, block: Block, wanted: number, texts: readonly string[]): Frames {
  const columns: Partial<Record<Channel, Float64Array>> = {};
  const strings: string[] = [];
  for (const [channel, info] of CHANNELS.entries()) {
    const column = block.columns[channel];
    if (!column || (wanted & (1 << channel)) === 0 || !column.some((value) => !Number.isNaN(value))) continue;
    columns[info.name] = channel === POWDER ? renumber(column, texts, strings) : column;
  }
  return { station, times: block.times, columns, strings };
}

function renumber(column: Float64Array, texts: readonly string[], strings: string[]): Float64Array {
  const numbers = new Map<number, number>();
  return column.map((value) => {
    if (Number.isNaN(value)) return value;
    let number = numbers.get(value);
    if (number === undefined) {
      number = strings.push(texts[value] ?? '') - 1;
      numbers.set(value, number);
    }
    return number;
  });
}
