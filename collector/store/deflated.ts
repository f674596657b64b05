import { deflateRawSync, inflateRawSync } from 'node:zlib';
import { ByteReader, type ByteWriter } from './bytes.ts';

const HEAD_BYTES = 5;

/** Bytes deflated, after u8 version and u32 size when unpacked. */
export function deflated(version: number, out: ByteWriter): Buffer {
  const raw = out.written();
  const packed = deflateRawSync(raw, { level: 6 });
  const body = Buffer.allocUnsafe(HEAD_BYTES + packed.length);
  body[0] = version;
  body.writeUInt32LE(raw.length, 1);
  packed.copy(body, HEAD_BYTES);
  return body;
}

/** @throws {Error} when the bytes are of another version or damaged */
export function inflated(version: number, body: Uint8Array): ByteReader {
  if (body[0] !== version) throw new RangeError(`version ${body[0]}, expected ${version}`);
  const size = new DataView(body.buffer, body.byteOffset).getUint32(1, true);
  const raw = inflateRawSync(body.subarray(HEAD_BYTES), {
    chunkSize: Math.max(64, size + 1),
    maxOutputLength: size + 1,
  });
  if (raw.length !== size) throw new RangeError(`${raw.length} bytes unpacked, expected ${size}`);
  return new ByteReader(raw);
}
