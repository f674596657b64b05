import { type FileHandle, open } from 'node:fs/promises';
import { pipeline } from 'node:stream/promises';
import { createGunzip } from 'node:zlib';
import type { Code } from '../contract/index.ts';
import { fileError } from '../decode/file-fault.ts';
import { systemFault } from './file-access.ts';
import { fileLimits } from './file-limits.ts';

const READ_BYTES = 131_072;
const UNPACKED_BYTES = 262_144;
/** So much a gzip file may hold however much it grows. Source: own choice: what is unpacked in a second. */
const FREE_BYTES = 67_108_864;

const EXPECTED = 'a CSV file, plain or gzip';

/** Other ways of packing, by their first bytes, so that the message can name them. */
const OTHER_PACKINGS: readonly (readonly [string, readonly number[]])[] = [
  ['a zip archive', [0x50, 0x4b, 3, 4]],
  ['a zstd file', [0x28, 0xb5, 0x2f, 0xfd]],
  ['a bzip2 file', [0x42, 0x5a, 0x68]],
  ['an xz file', [0xfd, 0x37, 0x7a, 0x58, 0x5a]],
];

export interface UnpackedOptions {
  /** What messages call the file; default: its path. */
  readonly name?: string;
  /** What a whole file would have been; default: a CSV file. */
  readonly expected?: string;
  /** Told how many bytes of the file, as it lies there, were read; may throw, and the file is closed then. */
  readonly onRead?: (bytes: number) => void;
}

/** What a file is called in messages, the code of its faults, and what it should have been. */
interface Wanted {
  readonly file: string;
  readonly code: Code;
  readonly expected: string;
}

/**
 * Hands the bytes of a file to `take`, chunk by chunk, unpacked when it is gzip (told by its first bytes, of one
 * member or several). `take` may throw; the file is closed then.
 *
 * @throws {AppError} with `code`: missing, not readable, a directory, corrupt, or a decompression bomb
 */
export async function readUnpacked(
  path: string,
  code: Code,
  take: (chunk: Buffer) => void,
  { name: file = path, expected = EXPECTED, onRead = () => undefined }: UnpackedOptions = {},
): Promise<void> {
  let handle: FileHandle | null = null;
  try {
    handle = await open(path, 'r');
    if ((await handle.stat()).isDirectory()) throw fileError(code, { file, found: 'a directory', expected });
    const read = readerOf(handle, onRead);
    const first = await read();
    if (first === null) return;
    for (const [found, bytes] of OTHER_PACKINGS) {
      if (bytes.every((byte, at) => first[at] === byte)) throw fileError(code, { file, found, expected });
    }
    if (first[0] === 0x1f && first[1] === 0x8b) await unpack({ file, code, expected }, read, first, take);
    else for (let chunk: Buffer | null = first; chunk !== null; chunk = await read()) take(chunk);
  } catch (error) {
    throw asFileError(error, { file, code, expected });
  } finally {
    await handle?.close();
  }
}

function readerOf(handle: FileHandle, onRead: (bytes: number) => void): () => Promise<Buffer | null> {
  let bytes = 0;
  return async () => {
    const { bytesRead, buffer } = await handle.read(Buffer.allocUnsafe(READ_BYTES), 0, READ_BYTES, null);
    bytes += bytesRead;
    onRead(bytes);
    return bytesRead === 0 ? null : buffer.subarray(0, bytesRead);
  };
}

async function unpack(
  { file, code, expected }: Wanted,
  read: () => Promise<Buffer | null>,
  first: Buffer,
  take: (chunk: Buffer) => void,
): Promise<void> {
  const { maxGzipGrowth } = fileLimits();
  let packedBytes = 0;
  let unpackedBytes = 0;
  let ended = false;
  let fault: { readonly error: unknown } | null = null;
  const gunzip = createGunzip({ chunkSize: UNPACKED_BYTES });
  /** What gunzip has not taken yet, by where it ends in the file. */
  const waiting: { readonly chunk: Buffer; readonly end: number }[] = [];
  const packed = async function* (): AsyncGenerator<Buffer> {
    for (let chunk: Buffer | null = first; chunk !== null; chunk = await read()) {
      packedBytes += chunk.length;
      while (waiting[0] !== undefined && waiting[0].end <= gunzip.bytesWritten) waiting.shift();
      waiting.push({ chunk, end: packedBytes });
      yield chunk;
    }
  };
  const consume = async (unpacked: AsyncIterable<Buffer>): Promise<void> => {
    try {
      for await (const chunk of unpacked) {
        unpackedBytes += chunk.length;
        if (unpackedBytes > FREE_BYTES && unpackedBytes > maxGzipGrowth * packedBytes) {
          const found = `data that grows more than ${maxGzipGrowth} times`;
          throw fileError(code, { file, found, expected });
        }
        take(chunk);
      }
      ended = true;
    } catch (error) {
      fault ??= { error };
      throw error;
    }
  };
  try {
    await pipeline(packed, gunzip, consume);
  } catch (error) {
    // The first fault is the cause; the pipeline may report the abort that followed it.
    if (fault !== null) throw (fault as { readonly error: unknown }).error;
    if (!ended) throw error;
    // Gunzip stops at the first zero byte after a member: padding, as tapes and block devices leave it.
    const left = waiting.map(({ chunk, end }) => chunk.subarray(Math.max(0, gunzip.bytesWritten - end + chunk.length)));
    for (let chunk: Buffer | null = Buffer.concat(left); chunk !== null; chunk = await read()) {
      if (chunk.some((byte) => byte !== 0)) {
        throw fileError(code, { file, found: 'other data after the gzip data', expected: 'whole gzip data' });
      }
    }
  }
}

function asFileError(error: unknown, { file, code, expected }: Wanted): unknown {
  const zlib = error instanceof Error && 'code' in error && String(error.code).startsWith('Z_');
  if (zlib) {
    const cut = (error as NodeJS.ErrnoException).code === 'Z_BUF_ERROR';
    const found = cut ? 'gzip data that ends too early' : `corrupt gzip data (${(error as Error).message})`;
    return fileError(code, { file, found, expected: 'whole gzip data' }, error);
  }
  const found = systemFault(error);
  return found === null ? error : fileError(code, { file, found, expected }, error);
}
