import { expect, test } from 'vitest';
import { PART_IDS } from '../../../collector/contract/index.ts';
import { demoWork, onShift } from '../../../simulators/publish/demo-work.ts';

const DAY = 86_400_000;
const NOW = Date.parse('2026-11-25T22:23:00Z');

test('the demo’s written work spans four months and more, in order, on guns and parts that there are, none in the future', () => {
  const work = demoWork(NOW);
  const times = work.map(({ time }) => time);
  expect(times).toEqual([...times].sort((left, right) => left - right));
  expect(times.at(-1)!).toBeLessThan(NOW);
  expect(
    work.every(({ gun, part }) => /^gun-0[1-8]$/.test(gun) && (PART_IDS as readonly string[]).includes(part)),
  ).toBe(true);
  for (let month = 0; month < 4; month++)
    expect(times.some((time) => time > NOW - (month + 1) * 30 * DAY && time <= NOW - month * 30 * DAY)).toBe(true);
});

test('no two lines of it say the same of a gun and part at once', () => {
  const keys = demoWork(NOW).map(({ time, gun, part }) => `${time} ${gun} ${part}`);
  expect(new Set(keys).size).toBe(keys.length);
});

test('work falls on days on which the demo’s hall worked: five that end today', () => {
  for (let days = 2; days < 30; days++) {
    const ago = Math.round((NOW - onShift(NOW, days, days)) / DAY);
    expect(ago % 7).toBeLessThan(5);
    expect(ago - days).toBeGreaterThanOrEqual(0);
  }
});
