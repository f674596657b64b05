import { AppError } from '../contract/errors.ts';
import { crc32, crcFault } from './crc32.ts';

const HEAD_BYTES = 5;

/** Bytes with their checksum before them: u8 0, with which none of these begin otherwise, and u32 CRC-32. */
export function summed(bytes: Uint8Array): Buffer {
  const head = Buffer.alloc(HEAD_BYTES);
  head.writeUInt32LE(crc32(bytes), 1);
  return Buffer.concat([head, bytes]);
}

/** Whether bytes have a checksum; what was written before there were any has none. */
export const hasSum = (stored: Uint8Array): boolean => stored[0] === 0;

/**
 * The bytes behind the checksum, or as they are where there is none.
 *
 * @param what they are, for the message
 * @throws {AppError} STORE_UNUSABLE where they are others than were written
 */
export function unsummed(stored: Uint8Array, what: string): Uint8Array {
  if (!hasSum(stored)) return stored;
  const bytes = stored.subarray(HEAD_BYTES);
  const fault =
    stored.length < HEAD_BYTES
      ? `found ${stored.length} bytes`
      : crcFault(bytes, new DataView(stored.buffer, stored.byteOffset, stored.byteLength).getUint32(1, true));
  if (fault !== null)
    throw new AppError('STORE_UNUSABLE', `${what} in the store is damaged: ${fault}; restore a backup`, {
      cause: new Error(fault),
    });
  return bytes;
}
