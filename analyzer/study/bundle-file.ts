import { createWriteStream } from 'node:fs';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import { AppError } from '../../collector/contract/index.ts';
import { readUnpacked } from '../../collector/index.ts';
import { bundleLines, readBundle, type StudyBundle, type Versions } from './study-bundle.ts';

/** Source: own choice, because a year of twenty guns with all fields stays below it. */
const MOST_BYTES = 2 ** 30;

/**
 * Writes a bundle as gzip.
 *
 * @throws {AppError} STUDY_UNUSABLE when the file cannot be written
 */
export async function writeBundleFile(file: string, bundle: StudyBundle, versions: Versions): Promise<void> {
  const lines = function* (): Generator<string> {
    for (const line of bundleLines(bundle, versions)) yield `${line}\n`;
  };
  try {
    await pipeline(Readable.from(lines()), createGzip({ level: 6 }), createWriteStream(file));
  } catch (error) {
    throw new AppError(
      'STUDY_UNUSABLE',
      `${file}: could not be written (${(error as NodeJS.ErrnoException).code ?? String(error)}), expected a writable file`,
      { cause: error },
    );
  }
}

/**
 * Reads a bundle.
 *
 * @param name what messages call the file
 * @throws {AppError} STUDY_UNUSABLE: missing, corrupt, of another version
 */
export async function readBundleFile(file: string, versions: Versions, name = file): Promise<StudyBundle> {
  const chunks: Buffer[] = [];
  let bytes = 0;
  const take = (chunk: Buffer): void => {
    bytes += chunk.length;
    if (bytes > MOST_BYTES)
      throw new AppError('STUDY_UNUSABLE', `${name}: found more than ${MOST_BYTES} bytes, expected a study bundle`);
    chunks.push(chunk);
  };
  await readUnpacked(file, 'STUDY_UNUSABLE', take, { name, expected: 'a study bundle' });
  return readBundle(linesOf(Buffer.concat(chunks)), name, versions);
}

/** Line by line, because all of it together may be longer than a string can be. */
function linesOf(bytes: Buffer): string[] {
  const lines: string[] = [];
  for (let from = 0; from < bytes.length; ) {
    const end = bytes.indexOf(10, from);
    const to = end < 0 ? bytes.length : end;
    if (to > from) lines.push(bytes.toString('utf8', from, to));
    from = to + 1;
  }
  return lines;
}
