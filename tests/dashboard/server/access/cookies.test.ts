import { expect, test } from 'vitest';
import { cookieIn, dropCookie, setCookie } from '../../../../dashboard/server/access/cookies.ts';

test('a cookie is out of reach of scripts and of other sites, and bound to TLS where there is TLS', () => {
  expect(setCookie('driftline', 'abc', false, 60)).toBe('driftline=abc; Path=/; HttpOnly; SameSite=Strict; Max-Age=60');
  // The prefix demands Secure, Path=/ and no Domain: RFC 6265bis, section 4.1.3.2.
  expect(setCookie('driftline', 'abc', true, 60)).toBe(
    '__Host-driftline=abc; Path=/; HttpOnly; SameSite=Strict; Max-Age=60; Secure',
  );
  expect(dropCookie('driftline-wall', false)).toContain('driftline-wall=; ');
  expect(dropCookie('driftline-wall', false)).toContain('Max-Age=0');
});

test.each([
  ['driftline=abc', 'abc'],
  ['other=1; driftline=abc; driftline-wall=def', 'abc'],
  ['driftline-wall=def', null],
  ['driftline=abc; driftline=abc', 'abc'],
  ['driftline=abc; driftline=def', null],
  ['', null],
  [`driftline=abc; x=${'y'.repeat(5000)}`, null],
])('%s holds %s', (header, value) => {
  expect(cookieIn(header, 'driftline', false)).toBe(value);
});

test('under TLS only the bound cookie counts', () => {
  expect(cookieIn('driftline=abc', 'driftline', true)).toBeNull();
  expect(cookieIn('__Host-driftline=abc', 'driftline', true)).toBe('abc');
});
