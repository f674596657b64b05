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
import { mostTextBytes, writeText } from './write-text.ts';

/** Of one station, without its name. */
const EXTENT_BYTES = 22;

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

/** What of a station a batch holds: its oldest and newest reading, epoch ms, and how many. */
export interface Tally {
  minTime: number;
  maxTime: number;
  readings: number;
}

/**
 * The extents of a batch as they stand behind its packs, with a checksum of their own: a batch of which any byte was changed can
 * still say whose readings it had (layout: batch.ts). In one piece of memory: a batch of one client has as many stations as packs.
 */
export function encodeExtents(stations: ReadonlyMap<string, Tally>): Uint8Array {
  let most = EXTENTS_HEAD_BYTES + EXTENTS_TAIL_BYTES;
  for (const station of stations.keys()) most += EXTENT_BYTES + mostTextBytes(station);
  const bytes = new Uint8Array(most);
  const view = new DataView(bytes.buffer);
  let at = EXTENTS_HEAD_BYTES;
  for (const [station, { minTime, maxTime, readings }] of stations) {
    const name = writeText(bytes, at + EXTENT_BYTES, station);
    view.setUint16(at, name, true);
    view.setFloat64(at + 2, minTime, true);
    view.setFloat64(at + 10, maxTime, true);
    view.setUint32(at + 18, readings, true);
    at += EXTENT_BYTES + name;
  }
  const length = at - EXTENTS_HEAD_BYTES;
  view.setUint8(0, EXTENTS_TAG);
  view.setUint32(1, length, true);
  view.setUint32(at, crc32(bytes.subarray(EXTENTS_HEAD_BYTES, at)), true);
  view.setUint32(at + 4, length, true);
  return bytes.subarray(0, at + EXTENTS_TAIL_BYTES);
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
    const nameEnd = at + EXTENT_BYTES + whole.readUInt16LE(at);
    extents.push({
      station: whole.toString('utf8', at + EXTENT_BYTES, nameEnd),
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
