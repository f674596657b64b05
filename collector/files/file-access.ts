import { isUtf8 } from 'node:buffer';
import { open } from 'node:fs/promises';
import type { Code } from '../contract/index.ts';
import { fileError } from '../decode/file-fault.ts';

const SYSTEM_FAULTS: Readonly<Record<string, string>> = {
  ENOENT: 'no such file',
  EACCES: 'a file that may not be read',
  EPERM: 'a file that may not be read',
  EISDIR: 'a directory',
  ENOTDIR: 'a path through something that is no directory',
  ELOOP: 'a link that leads to itself',
  ENAMETOOLONG: 'a name that is too long',
};

/** What a fault of the file system means, in a person's words; null when the error is none. */
export function systemFault(error: unknown): string | null {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  if (!/^E[A-Z]+$/.test(code)) return null;
  return SYSTEM_FAULTS[code] ?? `the fault ${code}`;
}

/**
 * A whole small file.
 *
 * @param most bytes; a larger file is refused without being read whole
 * @throws {AppError} with `code`: missing, not readable, a directory, too large
 */
export async function readBytes(file: string, code: Code, most: number, expected: string): Promise<Buffer> {
  try {
    const handle = await open(file, 'r');
    try {
      if ((await handle.stat()).isDirectory()) throw fileError(code, { file, found: 'a directory', expected });
      const chunks: Buffer[] = [];
      let length = 0;
      for (;;) {
        const { bytesRead, buffer } = await handle.read(Buffer.allocUnsafe(65_536), 0, 65_536, null);
        if (bytesRead === 0) return Buffer.concat(chunks);
        length += bytesRead;
        if (length > most)
          throw fileError(code, { file, found: `more than ${most} bytes`, expected: `${expected} within that` });
        chunks.push(buffer.subarray(0, bytesRead));
      }
    } finally {
      await handle.close();
    }
  } catch (error) {
    const found = systemFault(error);
    if (found === null) throw error;
    throw fileError(code, { file, found, expected }, error);
  }
}

/**
 * Bytes as text, without a byte-order mark.
 *
 * @throws {AppError} with `code`: empty, or not UTF-8
 */
export function asText(bytes: Buffer, file: string, code: Code, expected: string): string {
  if (bytes.length === 0) throw fileError(code, { file, found: 'an empty file', expected });
  if (!isUtf8(bytes)) {
    const utf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
    throw fileError(code, { file, found: utf16 ? 'UTF-16 text' : 'bytes that are not UTF-8', expected });
  }
  return bytes.toString('utf8', bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0);
}
