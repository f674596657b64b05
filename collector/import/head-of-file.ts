import { readUnpacked } from '../files/unpacked.ts';
import type { ImportedFile } from './import-steps.ts';

/** Source: own choice, because a logger's heading and some dozen rows fit many times. */
const HEAD_BYTES = 131_072;

class Enough extends Error {}

/**
 * The first whole lines of a file, unpacked, at most 128 KiB.
 *
 * @throws {AppError} READINGS_UNUSABLE: missing, empty, corrupt
 */
export async function headOfFile({ path, name }: ImportedFile): Promise<Buffer> {
  const chunks: Buffer[] = [];
  let bytes = 0;
  const take = (chunk: Buffer): void => {
    chunks.push(Buffer.from(chunk));
    bytes += chunk.length;
    if (bytes >= HEAD_BYTES) throw new Enough();
  };
  try {
    await readUnpacked(path, 'READINGS_UNUSABLE', take, { name });
  } catch (error) {
    if (!(error instanceof Enough)) throw error;
    const head = Buffer.concat(chunks).subarray(0, HEAD_BYTES);
    return head.subarray(0, head.lastIndexOf(10) + 1);
  }
  const all = Buffer.concat(chunks);
  return all.length === 0 || all.at(-1) === 10 ? all : Buffer.concat([all, Buffer.of(10)]);
}
