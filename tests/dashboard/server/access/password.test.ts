import { scryptSync } from 'node:crypto';
import { expect, test } from 'vitest';
import { passwordFault, passwordMatches, passwordRecord } from '../../../../dashboard/server/access/password.ts';

const SALT = Buffer.from('0123456789abcdef');

test('a password is kept as scrypt with N 2^17, r 8, p 1 (RFC 7914), and is known again', async () => {
  const record = await passwordRecord('correct horse', SALT);
  const key = scryptSync('correct horse', SALT, 32, { N: 131_072, r: 8, p: 1, maxmem: 256 * 1024 * 1024 });
  expect(record).toBe(`scrypt$131072$8$1$${SALT.toString('base64url')}$${key.toString('base64url')}`);
  expect(await passwordMatches('correct horse', record)).toBe(true);
  expect(await passwordMatches('correct horsf', record)).toBe(false);
});

test('a letter counts however Unicode spells it', async () => {
  const record = await passwordRecord('größer als 1', SALT);
  expect(await passwordMatches('gro\u0308ßer als 1', record)).toBe(true);
});

test('nobody’s password is never right, not even the one that its record was made of', async () => {
  expect(await passwordMatches('', null)).toBe(false);
});

test('a record of another kind is a fault of ours, not a wrong password', async () => {
  await expect(passwordMatches('x', 'md5$abc')).rejects.toMatchObject({ code: 'INTERNAL' });
});

test.each([
  ['123456789', 'found 9 characters, expected 10 or more'],
  ['x'.repeat(257), 'found 257 characters, expected at most 256'],
  ['aaaaaaaaaa', 'hardly more than one character'],
  ['Driftline1234', 'the name of the person or of the program'],
  ['i am ANNA 2026', 'the name of the person or of the program'],
])('%s is no password', (password, fault) => {
  expect(passwordFault(password, 'Anna')).toContain(fault);
});

test.each(['abcdefghij', 'x1y2z3w4v5', '🔑🚪🔒🗝️🏠🧱🔨🪛🪚🔧', 'a long sentence without any digits', 'ÄÄÄÄöüßxyz'])(
  '%s is one',
  (password) => {
    expect(passwordFault(password, 'Anna')).toBeNull();
  },
);
