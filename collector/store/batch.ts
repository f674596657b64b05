import { AppError } from '../contract/errors.ts';

/*
 * A batch: all readings of one commit, as written to the tail. Numbers are little-endian.
 *
 *   version            u8
 *   then, in any number and order:
 *   text               u8 1, u32 bytes, UTF-8; its index is the count of texts before it
 *   section, one pack  u8 2, u32 station (text), u32 provenance (text), u32 channels as bits, u32 readings,
 *                      u32 bytes of its body, f64 oldest and f64 newest time, body
 *   body               instants: f64 time, u16 readings, then each: u8 channel, i32 steps of its resolution;
 *                      channel + 0x80: f64 value. Of `powder/id` the number is a text.
 */
export const BATCH_VERSION = 1;
export const TEXT_TAG = 1;
export const SECTION_TAG = 2;
export const SECTION_HEAD_BYTES = 37;
export const WIDE = 0x80;

/** Largest time that the store keeps, epoch ms (year 2248): times share a 63-bit key with the station's id. */
export const LARGEST_TIME = 2 ** 43 - 1;

/** One pack within a batch that is in the tail. */
export interface Section {
  readonly seq: number;
  readonly station: string;
  readonly provenance: string;
  /** Channels that it has, as bits. */
  readonly channels: number;
  readonly readings: number;
  readonly minTime: number;
  readonly maxTime: number;
  /** The batch's bytes, and where in them the body starts and ends. */
  readonly view: DataView;
  readonly start: number;
  readonly end: number;
  /** Texts of the batch, for powder ids. */
  readonly texts: readonly string[];
}

/**
 * The packs of a batch in the order in which they were committed; their bodies stay packed.
 *
 * @throws {AppError} STORE_UNUSABLE when the bytes are no batch
 */
export function sectionsOf(seq: number, bytes: Uint8Array): Section[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const damaged = (): AppError =>
    new AppError('STORE_UNUSABLE', `batch ${seq} of the store is damaged; restore a backup`);
  if (bytes.length === 0 || view.getUint8(0) !== BATCH_VERSION) throw damaged();
  const texts: string[] = [];
  const sections: Section[] = [];
  let at = 1;
  while (at < bytes.length) {
    const tag = view.getUint8(at);
    if (tag === TEXT_TAG) {
      const end = at + 5 + view.getUint32(at + 1, true);
      texts.push(Buffer.from(bytes.buffer, bytes.byteOffset + at + 5, end - at - 5).toString('utf8'));
      at = end;
    } else if (tag === SECTION_TAG) {
      const length = view.getUint32(at + 17, true);
      const start = at + SECTION_HEAD_BYTES;
      if (start + length > bytes.length) throw damaged();
      sections.push({
        seq,
        station: texts[view.getUint32(at + 1, true)] ?? '',
        provenance: texts[view.getUint32(at + 5, true)] ?? '',
        channels: view.getUint32(at + 9, true),
        readings: view.getUint32(at + 13, true),
        minTime: view.getFloat64(at + 21, true),
        maxTime: view.getFloat64(at + 29, true),
        view,
        start,
        end: start + length,
        texts,
      });
      at = start + length;
    } else throw damaged();
  }
  return sections;
}
