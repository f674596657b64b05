import { crcFault } from './crc32.ts';

/*
 * A batch: all readings of one commit, as written to the tail. Numbers are little-endian.
 *
 *   version            u8
 *   checksum           u32, CRC-32 of all that follows; none in version 1
 *   then, in any number and order:
 *   text               u8 1, u32 bytes, UTF-8; its index is the count of texts before it
 *   section, one pack  u8 2, u32 station (text), u32 provenance (text), u32 channels as bits, u32 readings,
 *                      u32 bytes of its body, f64 oldest and f64 newest time, body
 *   body               instants: f64 time, u16 readings, then each: u8 channel, i32 steps of its resolution;
 *                      channel + 0x80: f64 value. Of `powder/id` the number is a text.
 *   extents, last      u8 3, u32 bytes, then for each station: u16 bytes of its name, f64 oldest and f64 newest time, u32 readings,
 *                      name; u32 CRC-32 of those, u32 bytes once more, so that they are found from the end; none before version 4
 */
/** The checksum is not of it: no two versions differ by one bit. */
export const BATCH_VERSION = 4;
export const BATCH_HEAD_BYTES = 5;
const WITHOUT_EXTENTS_VERSION = 2;
const UNSUMMED_VERSION = 1;
export const TEXT_TAG = 1;
export const SECTION_TAG = 2;
export const SECTION_HEAD_BYTES = 37;
export const EXTENTS_TAG = 3;
export const EXTENTS_HEAD_BYTES = 5;
export const EXTENTS_TAIL_BYTES = 8;
export const WIDE = 0x80;

/** Largest time that the store keeps, epoch ms (year 2248): times share a 63-bit key with the station's id. */
export const LARGEST_TIME = 2 ** 43 - 1;

/** A batch that is in the tail, as its sections share it. */
export interface BatchInTail {
  readonly seq: number;
  readonly view: DataView;
  readonly texts: string[];
}

/** One pack within a batch that is in the tail. Its head is read when it is asked for. */
export class Section {
  readonly #batch: BatchInTail;
  /** Where in the batch its head begins. */
  readonly #head: number;

  constructor(batch: BatchInTail, head: number) {
    this.#batch = batch;
    this.#head = head;
  }

  get seq(): number {
    return this.#batch.seq;
  }

  get station(): string {
    return this.#text(1);
  }

  get provenance(): string {
    return this.#text(5);
  }

  /** Channels that it has, as bits. */
  get channels(): number {
    return this.view.getUint32(this.#head + 9, true);
  }

  get readings(): number {
    return this.view.getUint32(this.#head + 13, true);
  }

  get minTime(): number {
    return this.view.getFloat64(this.#head + 21, true);
  }

  get maxTime(): number {
    return this.view.getFloat64(this.#head + 29, true);
  }

  /** The batch's bytes, and where in them the body starts and ends. */
  get view(): DataView {
    return this.#batch.view;
  }

  get start(): number {
    return this.#head + SECTION_HEAD_BYTES;
  }

  get end(): number {
    return this.start + this.view.getUint32(this.#head + 17, true);
  }

  /** Texts of the batch, for powder ids. */
  get texts(): readonly string[] {
    return this.#batch.texts;
  }

  #text(at: number): string {
    return this.texts[this.view.getUint32(this.#head + at, true)] ?? '';
  }
}

/** Whether it has a checksum. */
export const isSummedBatch = (bytes: Uint8Array): boolean => bytes[0] !== UNSUMMED_VERSION;

/** How a batch differs from what its checksum says; null where it does not, or has none. */
export function batchFault(bytes: Uint8Array): string | null {
  if (!isSummedBatch(bytes)) return null;
  if (bytes.length < BATCH_HEAD_BYTES) return `found ${bytes.length} bytes, expected a batch`;
  const expected = new DataView(bytes.buffer, bytes.byteOffset).getUint32(1, true);
  return crcFault(bytes.subarray(BATCH_HEAD_BYTES), expected);
}

/** The packs of a batch in the order in which they were committed, their bodies packed; null where it is damaged (extents.ts tells how). */
export function sectionsOf(seq: number, bytes: Uint8Array): Section[] | null {
  const read = headsOf(seq, bytes);
  return read === null ? null : read.heads.map((head) => new Section(read.batch, head));
}

/** The same, as where in the batch the heads of its packs begin. */
export function headsOf(seq: number, bytes: Uint8Array): { batch: BatchInTail; heads: number[] } | null {
  if (batchFault(bytes) !== null) return null;
  const batch = inTail(seq, bytes);
  const heads: number[] = [];
  try {
    readHeads(batch, (head) => heads.push(head));
  } catch {
    return null;
  }
  return { batch, heads };
}

/**
 * The packs whatever the checksum says: where a damaged batch is to be told of.
 *
 * @param sections takes them, also those before a fault
 * @throws {Error} when the bytes are no batch
 */
export function sectionsAsTheyAre(seq: number, bytes: Uint8Array, sections: Section[] = []): Section[] {
  const batch = inTail(seq, bytes);
  readHeads(batch, (head) => sections.push(new Section(batch, head)));
  return sections;
}

function inTail(seq: number, { buffer, byteOffset, byteLength }: Uint8Array): BatchInTail {
  return { seq, view: new DataView(buffer, byteOffset, byteLength), texts: [] };
}

function readHeads({ view, texts }: BatchInTail, take: (head: number) => void): void {
  const length = view.byteLength;
  const whole = Buffer.from(view.buffer, view.byteOffset, length);
  const version = length === 0 ? 0 : view.getUint8(0);
  if (version !== BATCH_VERSION && version !== WITHOUT_EXTENTS_VERSION && version !== UNSUMMED_VERSION)
    throw new RangeError(
      `found version ${version}, expected ${UNSUMMED_VERSION}, ${WITHOUT_EXTENTS_VERSION} or ${BATCH_VERSION}`,
    );
  let at = version === UNSUMMED_VERSION ? 1 : BATCH_HEAD_BYTES;
  while (at < length) {
    const tag = view.getUint8(at);
    if (tag === TEXT_TAG) {
      const end = at + 5 + view.getUint32(at + 1, true);
      texts.push(whole.toString('utf8', at + 5, end));
      at = end;
    } else if (tag === SECTION_TAG) {
      const end = at + SECTION_HEAD_BYTES + view.getUint32(at + 17, true);
      if (end > length) throw new RangeError(`found a pack up to byte ${end}, expected ${length} at most`);
      take(at);
      at = end;
    } else if (tag === EXTENTS_TAG) at += EXTENTS_HEAD_BYTES + view.getUint32(at + 1, true) + EXTENTS_TAIL_BYTES;
    else throw new RangeError(`found ${tag} at byte ${at}, expected a text, a pack or extents`);
  }
}
