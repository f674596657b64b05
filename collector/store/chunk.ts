import { CHANNELS } from '../contract/channels.ts';
import { AppError } from '../contract/errors.ts';
import { CHANNEL_STEPS } from '../contract/resolution.ts';
import type { Block } from './block.ts';
import { ByteWriter } from './bytes.ts';
import { decodeColumn, encodeColumn } from './column-codec.ts';
import { deflated, inflated, type Packing } from './deflated.ts';

/**
 * Frames of a full chunk.
 * Source: own choice, because fewer cost room for their heads and more make a late reading or a short
 * span unpack too much; measured with `tests/bench/store.bench.ts`.
 */
export const CHUNK_ROWS = 512;

const VERSION = 1;
const WHOLE = [1];
const SCALES = CHANNEL_STEPS.map((scale) => (scale === 1 ? WHOLE : [1, scale]));

/**
 * Rows of a block, compressed: u32 channels as bits, the times, and each column after its length in bytes (column-codec.ts).
 */
export function encodeChunk(block: Block, from: number, to: number, packing: Packing = 'quick'): Buffer {
  const rows = to - from;
  const out = new ByteWriter();
  let channels = 0;
  const columns = block.columns.map((column, channel) => {
    const part = column?.subarray(from, to);
    if (!part?.some((value) => !Number.isNaN(value))) return null;
    channels |= 1 << channel;
    return part;
  });
  out.u32(channels);
  encodeColumn(out, block.times.subarray(from, to), rows, WHOLE);
  for (const [channel, column] of columns.entries()) {
    if (!column) continue;
    const lengthAt = out.length;
    out.u32(0);
    encodeColumn(out, column, rows, SCALES[channel] ?? WHOLE);
    out.setU32(lengthAt, out.length - lengthAt - 4);
  }
  return deflated(VERSION, out, packing);
}

/** Where decoded chunks go: columns as long as all of them together, by channel index, made when first needed. */
export interface ChunkTarget {
  readonly times: Float64Array;
  readonly columns: (Float64Array | null)[];
  /** Channels that are wanted, as bits. */
  readonly wanted: number;
}

/**
 * Unpacks a chunk into rows `at` … `at + rows - 1` of the target.
 *
 * @throws {AppError} STORE_UNUSABLE when the bytes are no chunk
 */
export function decodeChunk(body: Uint8Array, rows: number, target: ChunkTarget, at: number): void {
  try {
    const input = inflated(VERSION, body);
    const channels = input.u32();
    decodeColumn(input, rows, target.times, at);
    for (let channel = 0; channel < CHANNELS.length; channel++) {
      const bit = 1 << channel;
      const wanted = (target.wanted & bit) !== 0;
      if ((channels & bit) === 0) {
        if (wanted) target.columns[channel]?.fill(Number.NaN, at, at + rows);
        continue;
      }
      const length = input.u32();
      if (wanted) decodeColumn(input, rows, columnOf(target, channel, at), at);
      else input.skip(length);
    }
  } catch (error) {
    throw new AppError(
      'STORE_UNUSABLE',
      `a chunk of readings in the store is damaged: ${error instanceof Error ? error.message : String(error)}; restore a backup`,
      {
        cause: error,
      },
    );
  }
}

function columnOf(target: ChunkTarget, channel: number, at: number): Float64Array {
  const known = target.columns[channel];
  if (known) return known;
  const column = new Float64Array(target.times.length);
  column.fill(Number.NaN, 0, at);
  target.columns[channel] = column;
  return column;
}
