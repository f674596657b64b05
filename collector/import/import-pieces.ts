import type { Pack } from '../contract/frames.ts';
import { CHANNELS, type Frames } from '../contract/index.ts';
import type { ReadingsTable } from '../decode/readings-table.ts';

/** Rows of one commit. Source: own choice: some tens of milliseconds of writing. */
const PIECE_ROWS = 4096;
const HOUR_MS = 3_600_000;

/** A table's readings in an order that is always the same, some rows at a time. */
export function* importPieces(table: ReadingsTable, provenance: string): Generator<Pack> {
  for (const station of table.stations)
    for (const block of table.blocks(station))
      for (let from = 0; from < block.times.length; from += PIECE_ROWS)
        yield packOf(block, from, Math.min(block.times.length, from + PIECE_ROWS), provenance);
}

function packOf({ station, times, columns, strings }: Frames, from: number, to: number, provenance: string): Pack {
  const pack: Pack = { station, times: [], channels: [], values: [], strings: [...strings], provenance };
  for (let row = from; row < to; row++)
    for (const [channel, { name }] of CHANNELS.entries()) {
      const value = columns[name]?.[row] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      pack.times.push(times[row]!);
      pack.channels.push(channel);
      pack.values.push(value);
    }
  return pack;
}

/** The part of a pack up to a time, and how many readings are later: by the receiver's clock they have not happened yet. */
export function upTo(pack: Pack, latestMs: number): { readonly pack: Pack; readonly ahead: number } {
  const { times } = pack;
  let count = times.length;
  // Times ascend.
  while (count > 0 && times[count - 1]! > latestMs) count--;
  if (count === times.length) return { pack, ahead: 0 };
  const { channels, values } = pack;
  const cut = {
    ...pack,
    times: times.slice(0, count),
    channels: channels.slice(0, count),
    values: values.slice(0, count),
  };
  return { pack: cut, ahead: times.length - count };
}

/** Values outside their limits, in the counters that the live intake keeps of them. */
export function rangeCounters({ rangeFacts }: ReadingsTable): Record<string, number> {
  return Object.fromEntries(
    rangeFacts.map(({ station, channel, time, count }) => [
      `range ${station} ${channel} ${Math.floor(time / HOUR_MS)}`,
      count,
    ]),
  );
}
