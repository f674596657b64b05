import { expect, test } from 'vitest';
import { HASH_SEED, hashByte } from '../../../collector/decode/byte-names.ts';
import { NamePool } from '../../../collector/decode/name-pool.ts';

function find(pool: NamePool, name: string): number {
  const bytes = Buffer.from(`,${name},`);
  let hash = HASH_SEED;
  for (const byte of bytes.subarray(1, -1)) hash = hashByte(hash, byte);
  return pool.find(bytes, 1, bytes.length - 1, hash);
}

test('a name keeps its place, however many others come in between', () => {
  const pool = new NamePool();
  const names = Array.from({ length: 1000 }, (_, index) => `powder-${index}`);
  for (let round = 0; round < 3; round++)
    for (const [index, name] of names.entries()) expect(find(pool, name)).toBe(index);
  expect(pool.names).toEqual(names);
});

test('names of one length that differ in one letter are told apart', () => {
  const pool = new NamePool();
  expect([find(pool, 'p-white'), find(pool, 'p-whitf'), find(pool, 'p-white')]).toEqual([0, 1, 0]);
});

test.each([
  ['too long', 'x'.repeat(81)],
  ['with a control character', 'p\u0007'],
])('a name that is %s is refused each time', (_, name) => {
  const pool = new NamePool();
  expect([find(pool, name), find(pool, name), find(pool, 'p-1')]).toEqual([-1, -1, 0]);
});
