import {
  batchFault,
  EXTENTS_HEAD_BYTES,
  EXTENTS_TAG,
  EXTENTS_TAIL_BYTES,
  LARGEST_TIME,
  type Section,
  sectionsAsTheyAre,
} from './batch.ts';
import { crc32 } from './crc32.ts';

/** Readings of one station in a batch: from the oldest to the newest, epoch ms, both included. */
export interface Extent {
  readonly station: string;
  readonly from: number;
  readonly to: number;
  readonly readings: number;
}

/** Of which stations and times a damaged batch was, and how it is damaged. */
export interface DamagedBatch {
  readonly extents: readonly Extent[];
  /** False where what tells of its extents is damaged too, or was not written yet: some may be missing or other than they were. */
  readonly certain: boolean;
  /** What was found and expected. */
  readonly fault: string;
}

/**
 * The extents of a batch as they stand behind its packs, with a checksum of their own: a batch of which any byte was changed can
 * still say whose readings it had (layout: batch.ts).
 */
export function encodeExtents(extents: readonly Extent[]): Buffer {
  const parts = extents.map(({ station, from, to, readings }) => {
    const name = Buffer.from(station, 'utf8');
    const numbers = Buffer.alloc(22);
    numbers.writeUInt16LE(name.length, 0);
    numbers.writeDoubleLE(from, 2);
    numbers.writeDoubleLE(to, 10);
    numbers.writeUInt32LE(readings, 18);
    return Buffer.concat([numbers, name]);
  });
  const body = Buffer.concat(parts);
  const head = Buffer.alloc(EXTENTS_HEAD_BYTES);
  head.writeUInt8(EXTENTS_TAG, 0);
  head.writeUInt32LE(body.length, 1);
  const tail = Buffer.alloc(EXTENTS_TAIL_BYTES);
  tail.writeUInt32LE(crc32(body), 0);
  tail.writeUInt32LE(body.length, 4);
  return Buffer.concat([head, body, tail]);
}

/** How a batch is damaged and what it held; null where it is as it was written. */
export function damageOf(seq: number, bytes: Uint8Array): DamagedBatch | null {
  let fault = batchFault(bytes);
  const sections: Section[] = [];
  try {
    sectionsAsTheyAre(seq, bytes, sections);
  } catch (error) {
    fault ??= error instanceof Error ? error.message : String(error);
  }
  if (fault === null) return null;
  const written = writtenExtents(bytes);
  return written === null
    ? { extents: extentsOf(sections), certain: false, fault }
    : { extents: written, certain: true, fault };
}

/** Those behind its packs; null where there are none, or others than were written. */
function writtenExtents(bytes: Uint8Array): Extent[] | null {
  const whole = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = whole.length - EXTENTS_TAIL_BYTES;
  // The version is not asked alone: its byte may be the one that was changed.
  if (end < EXTENTS_HEAD_BYTES) return null;
  const begin = end - whole.readUInt32LE(end + 4);
  if (begin < EXTENTS_HEAD_BYTES || whole[begin - EXTENTS_HEAD_BYTES] !== EXTENTS_TAG) return null;
  if (crc32(whole.subarray(begin, end)) !== whole.readUInt32LE(end)) return null;
  const extents: Extent[] = [];
  for (let at = begin; at < end; ) {
    const nameEnd = at + 22 + whole.readUInt16LE(at);
    extents.push({
      station: whole.toString('utf8', at + 22, nameEnd),
      from: whole.readDoubleLE(at + 2),
      to: whole.readDoubleLE(at + 10),
      readings: whole.readUInt32LE(at + 18),
    });
    at = nameEnd;
  }
  return extents;
}

/** As far as the heads of its packs can be read. */
function extentsOf(sections: readonly Section[]): Extent[] {
  const stations = new Map<string, Extent>();
  for (const { station, minTime, maxTime, readings } of sections) {
    if (station === '' || !isTime(minTime) || !isTime(maxTime)) continue;
    const known = stations.get(station);
    stations.set(station, {
      station,
      from: Math.min(known?.from ?? minTime, minTime),
      to: Math.max(known?.to ?? maxTime, maxTime),
      readings: (known?.readings ?? 0) + readings,
    });
  }
  return [...stations.values()];
}

const isTime = (time: number): boolean => time >= 0 && time <= LARGEST_TIME;
