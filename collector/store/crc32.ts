import zlib from 'node:zlib';

/** Source: ISO 3309 and RFC 1952 section 8, the polynomial with its bits reversed. */
const POLYNOMIAL = 0xedb88320;

const TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let crc = byte;
  for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ POLYNOMIAL : crc >>> 1;
  return crc;
});

/** The same as `crc32`, for Node.js before 20.15, whose zlib has none. */
export function tableCrc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (let i = 0; i < bytes.length; i++) crc = TABLE[(crc ^ bytes[i]!) & 0xff]! ^ (crc >>> 8);
  return ~crc >>> 0;
}

const { crc32: native } = zlib as { crc32?: (bytes: Uint8Array) => number };

/**
 * CRC-32 of bytes: whatever changes in up to 32 bits in a row, and nearly all else, changes it.
 *
 * Source: ISO 3309, as in RFC 1952 section 8.
 * @example
 * crc32(new TextEncoder().encode('123456789')); // 3421780262
 */
export const crc32: (bytes: Uint8Array) => number = native ?? tableCrc32;

/** How bytes differ from what their checksum says; null where they do not. */
export function crcFault(bytes: Uint8Array, expected: number): string | null {
  const found = crc32(bytes);
  const hex = (crc: number): string => crc.toString(16).padStart(8, '0');
  return found === expected ? null : `found the checksum ${hex(found)}, expected ${hex(expected)}`;
}
