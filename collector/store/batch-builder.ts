import { CHANNELS, channelIndex } from '../contract/channels.ts';
import type { Pack } from '../contract/frames.ts';
import { MOST_STEPS } from '../contract/resolution.ts';
import {
  BATCH_HEAD_BYTES,
  BATCH_VERSION,
  LARGEST_TIME,
  SECTION_HEAD_BYTES,
  SECTION_TAG,
  TEXT_TAG,
  WIDE,
} from './batch.ts';
import { crc32 } from './crc32.ts';
import { encodeExtents, type Tally } from './extents.ts';
import { toSteps } from './resolution.ts';
import type { StationCommit } from './store.ts';
import { mostTextBytes, writeText } from './write-text.ts';

const POWDER = channelIndex('powder/id');
const FIRST_BYTES = 64 * 1024;

/**
 * Gathers packs into the one batch that a commit writes (layout: batch.ts). Check packs with `checkPack` first.
 */
export class BatchBuilder {
  #bytes: Uint8Array<ArrayBuffer>;
  #view: DataView;
  #length = 0;
  #packs = 0;
  readonly #texts = new Map<string, number>();
  readonly #stations = new Map<string, Tally>();

  /** @param room memory to build in, when there is some that nobody needs any more */
  constructor(room: ArrayBuffer | null = null) {
    this.#bytes = new Uint8Array(room ?? new ArrayBuffer(FIRST_BYTES));
    this.#view = new DataView(this.#bytes.buffer);
    this.#bytes[0] = BATCH_VERSION;
    this.#length = BATCH_HEAD_BYTES;
  }

  get packs(): number {
    return this.#packs;
  }

  get byteLength(): number {
    return this.#length;
  }

  /** The batch with its extents and checksum, a view of the builder's own buffer: the builder is done with then. */
  bytes(): Uint8Array<ArrayBuffer> {
    const extents = encodeExtents(this.#stations);
    this.#reserve(extents.length);
    this.#bytes.set(extents, this.#length);
    this.#length += extents.length;
    const bytes = this.#bytes.subarray(0, this.#length);
    this.#view.setUint32(1, crc32(bytes.subarray(BATCH_HEAD_BYTES)), true);
    return bytes;
  }

  stations(): StationCommit[] {
    const stations: StationCommit[] = [];
    // Written out: a spread takes many times as long.
    for (const [station, { minTime, maxTime, readings }] of this.#stations)
      stations.push({ station, minTime, maxTime, readings });
    return stations;
  }

  /** @param pack one that `checkPack` has let pass */
  add(pack: Pack): void {
    const { times, channels, values } = pack;
    const count = times.length;
    if (count === 0) return;
    const station = this.#text(pack.station);
    const provenance = this.#text(pack.provenance);
    const strings = pack.strings.map((text) => this.#text(text));
    // Worst case: every reading with a time of its own and a wide value.
    this.#reserve(SECTION_HEAD_BYTES + count * 19);
    const view = this.#view;
    const head = this.#length;
    let at = head + SECTION_HEAD_BYTES;
    let minTime = times[0] as number;
    let maxTime = minTime;
    let bits = 0;
    for (let i = 0; i < count; ) {
      const time = times[i] as number;
      if (time < minTime) minTime = time;
      else if (time > maxTime) maxTime = time;
      view.setFloat64(at, time, true);
      const countAt = at + 8;
      at += 10;
      const first = i;
      do {
        const channel = channels[i] as number;
        bits |= 1 << channel;
        const value = channel === POWDER ? (strings[values[i] as number] as number) : (values[i] as number);
        const steps = channel === POWDER ? value : toSteps(channel, value);
        if (steps > MOST_STEPS || steps < -MOST_STEPS) {
          view.setUint8(at, channel | WIDE);
          view.setFloat64(at + 1, value, true);
          at += 9;
        } else {
          view.setUint8(at, channel);
          view.setInt32(at + 1, steps, true);
          at += 5;
        }
        i++;
      } while (i < count && times[i] === time && i - first < 0xffff);
      view.setUint16(countAt, i - first, true);
    }
    view.setUint8(head, SECTION_TAG);
    view.setUint32(head + 1, station, true);
    view.setUint32(head + 5, provenance, true);
    view.setUint32(head + 9, bits, true);
    view.setUint32(head + 13, count, true);
    view.setUint32(head + 17, at - head - SECTION_HEAD_BYTES, true);
    view.setFloat64(head + 21, minTime, true);
    view.setFloat64(head + 29, maxTime, true);
    this.#length = at;
    this.#packs++;
    this.#count(pack.station, minTime, maxTime, count);
  }

  #count(station: string, minTime: number, maxTime: number, readings: number): void {
    const tally = this.#stations.get(station);
    if (!tally) {
      this.#stations.set(station, { minTime, maxTime, readings });
      return;
    }
    if (minTime < tally.minTime) tally.minTime = minTime;
    if (maxTime > tally.maxTime) tally.maxTime = maxTime;
    tally.readings += readings;
  }

  /** Number of a text within this batch; written out when it is new. */
  #text(text: string): number {
    const known = this.#texts.get(text);
    if (known !== undefined) return known;
    this.#reserve(5 + mostTextBytes(text));
    const bytes = writeText(this.#bytes, this.#length + 5, text);
    this.#view.setUint8(this.#length, TEXT_TAG);
    this.#view.setUint32(this.#length + 1, bytes, true);
    this.#length += 5 + bytes;
    const index = this.#texts.size;
    this.#texts.set(text, index);
    return index;
  }

  #reserve(more: number): void {
    if (this.#length + more <= this.#bytes.length) return;
    const grown = new Uint8Array(Math.max(2 * this.#bytes.length, this.#length + more));
    grown.set(this.#bytes.subarray(0, this.#length));
    this.#bytes = grown;
    this.#view = new DataView(grown.buffer);
  }
}

/** @throws {RangeError} a time or value that no decoder may let through */
export function checkPack(pack: Pack): void {
  const { times, channels, values, strings } = pack;
  if (channels.length !== times.length || values.length !== times.length)
    throw new RangeError(
      `pack of ${pack.station}: ${times.length} times, ${channels.length} channels, ${values.length} values`,
    );
  for (let i = 0; i < times.length; i++) {
    const time = times[i] as number;
    const channel = channels[i] as number;
    const value = values[i] as number;
    if (!(Number.isInteger(time) && time >= 0 && time <= LARGEST_TIME))
      throw new RangeError(
        `pack of ${pack.station}: time ${time} of reading ${i} is no epoch ms up to ${LARGEST_TIME}`,
      );
    if (!(Number.isInteger(channel) && channel >= 0 && channel < CHANNELS.length))
      throw new RangeError(`pack of ${pack.station}: ${channel} of reading ${i} is no channel's index`);
    const valid = channel === POWDER ? value in strings : Number.isFinite(value);
    if (!valid) throw new RangeError(`pack of ${pack.station}: value ${value} of reading ${i} is not usable`);
  }
}
