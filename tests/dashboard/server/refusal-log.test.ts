import { expect, test } from 'vitest';
import { RefusalLog } from '../../../dashboard/server/security/refusal-log.ts';
import { manualClock } from '../manual-clock.ts';

const REFUSAL = { status: 401, code: 'SIGN_IN_NEEDED', method: 'GET', path: '/api/guns', remote: '::1', who: 'nobody' };

function logged() {
  const lines: { fields: object; message: string }[] = [];
  const clock = manualClock(1_772_439_000_000);
  return { lines, clock, log: new RefusalLog((fields, message) => lines.push({ fields, message }), clock) };
}

test('of a burst thirty refusals are told one by one and the rest by number within a minute, also when none follows', () => {
  const { lines, clock, log } = logged();
  for (let count = 0; count < 100; count++) log.add(REFUSAL);
  expect(lines).toHaveLength(30);
  clock.advance(60_000);
  expect(lines).toHaveLength(31);
  expect(lines[30]).toEqual({ fields: { more: 70 }, message: 'more requests were refused within the minute' });
  clock.advance(600_000);
  expect(lines).toHaveLength(31);
  log.add(REFUSAL);
  expect(lines).toHaveLength(32);
});

test('thirty in a minute are all told, and nothing else is', () => {
  const { lines, clock, log } = logged();
  for (let count = 0; count < 30; count++) log.add(REFUSAL);
  clock.advance(60_000);
  expect(lines).toHaveLength(30);
});

test('what was not told yet is told at the end of the service', () => {
  const { lines, log } = logged();
  for (let count = 0; count < 31; count++) log.add(REFUSAL);
  log.endMinute();
  log.endMinute();
  expect(lines.slice(30).map(({ fields }) => fields)).toEqual([{ more: 1 }]);
});
