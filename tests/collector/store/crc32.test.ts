import { crc32 as published } from 'node:zlib';
import { expect, test } from 'vitest';
import { crc32, tableCrc32 } from '../../../collector/store/crc32.ts';

// Source: the check value of CRC-32 (ISO 3309, the one of gzip and PNG) over the digits 1 to 9; zlib itself for the others.
test('CRC-32 has its published check value, with zlib and without', () => {
  const digits = Buffer.from('123456789');
  expect([crc32(digits), tableCrc32(digits)]).toEqual([0xcbf43926, 0xcbf43926]);
  expect([crc32(Buffer.alloc(0)), tableCrc32(Buffer.alloc(0))]).toEqual([0, 0]);
  for (const length of [1, 3, 64, 1000]) {
    const bytes = Buffer.from(Array.from({ length }, (_, i) => (i * 7919) & 255));
    expect(tableCrc32(bytes)).toBe(published(bytes));
  }
});
