import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGunzip } from 'node:zlib';
import type { Code } from '../contract/index.ts';
import { fileError } from '../decode/file-fault.ts';
import { systemFault } from './file-access.ts';

const READ_BYTES = 1_048_576;
const UNPACKED_BYTES = 262_144;
/**
 * A file that grows this many times over is taken for a bomb once it has passed the free size. Source: own choice,
 * because readings grow 5 to 40 times and the format allows 1032.
 */
const MOST_GROWTH = 200;
const FREE_BYTES = 67_108_864;

const isGzip = (bytes: Buffer): boolean => bytes[0] === 0x1f && bytes[1] === 0x8b;

/** Other ways of packing, by their first bytes, so that the message can name them. */
const OTHER_PACKINGS: readonly (readonly [string, readonly number[]])[] = [
  ['a zip archive', [0x50, 0x4b, 3, 4]],
  ['a zstd file', [0x28, 0xb5, 0x2f, 0xfd]],
  ['a bzip2 file', [0x42, 0x5a, 0x68]],
  ['an xz file', [0xfd, 0x37, 0x7a, 0x58, 0x5a]],
];

/**
 * Hands the bytes of a file to `take`, chunk by chunk, unpacked when it is gzip (told by its first bytes, of one
 * member or several). `take` may throw; the file is closed then.
 *
 * @throws {AppError} with `code`: missing, not readable, a directory, corrupt, or a decompression bomb
 */
export async function readUnpacked(file: string, code: Code, take: (chunk: Buffer) => void): Promise<void> {
  const expected = 'a CSV file, plain or gzip';
  let packedBytes = 0;
  let unpackedBytes = 0;
  const source = createReadStream(file, { highWaterMark: READ_BYTES });
  try {
    if ((await stat(file)).isDirectory()) throw fileError(code, { file, found: 'a directory', expected });
    const chunks = source[Symbol.asyncIterator]() as AsyncIterator<Buffer>;
    const first = await chunks.next();
    if (first.done) return;
    for (const [what, bytes] of OTHER_PACKINGS) {
      if (bytes.every((byte, at) => first.value[at] === byte)) throw fileError(code, { file, found: what, expected });
    }
    const all = async function* (): AsyncGenerator<Buffer> {
      for (let step: IteratorResult<Buffer> = first; !step.done; step = await chunks.next()) {
        packedBytes += step.value.length;
        yield step.value;
      }
    };
    if (!isGzip(first.value)) {
      for await (const chunk of all()) take(chunk);
      return;
    }
    await pipeline(Readable.from(all()), createGunzip({ chunkSize: UNPACKED_BYTES }), async (unpacked) => {
      for await (const chunk of unpacked as AsyncIterable<Buffer>) {
        unpackedBytes += chunk.length;
        if (unpackedBytes > FREE_BYTES && unpackedBytes > MOST_GROWTH * packedBytes) {
          throw fileError(code, { file, found: `data that grows more than ${MOST_GROWTH} times`, expected });
        }
        take(chunk);
      }
    });
  } catch (error) {
    throw asFileError(error, file, code, expected);
  } finally {
    source.destroy();
  }
}

function asFileError(error: unknown, file: string, code: Code, expected: string): unknown {
  const zlib = error instanceof Error && 'code' in error && String(error.code).startsWith('Z_');
  if (zlib) {
    const cut = (error as NodeJS.ErrnoException).code === 'Z_BUF_ERROR';
    const found = cut ? 'gzip data that ends too early' : `corrupt gzip data (${(error as Error).message})`;
    return fileError(code, { file, found, expected: 'whole gzip data' }, error);
  }
  const found = systemFault(error);
  return found === null ? error : fileError(code, { file, found, expected }, error);
}
