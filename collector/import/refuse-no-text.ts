import { AppError } from '../contract/index.ts';

const EXPECTED = 'CSV in UTF-8, windows-1252 or UTF-16 with its small end first';

/**
 * Refuses a file whose first bytes are no text that a mapping can read.
 *
 * @throws {AppError} READINGS_UNUSABLE
 */
export function refuseNoText(head: Buffer, file: string): void {
  // Source of the mark: Unicode Standard, section 23.8.
  if (head[0] === 0xfe && head[1] === 0xff)
    throw new AppError('READINGS_UNUSABLE', `${file}: found UTF-16 with its big end first, expected ${EXPECTED}`);
  const isUtf16 = head[0] === 0xff && head[1] === 0xfe;
  if (!isUtf16 && head.includes(0))
    throw new AppError('READINGS_UNUSABLE', `${file}: found bytes that are no text, expected ${EXPECTED}`);
}
