import { expect, test } from 'vitest';
import { toldRarely } from '../../collector/told-rarely.ts';

test('a trouble is told at once, again after a minute with how often it came meanwhile, and another beside it', () => {
  let now = 0;
  const told: [string, number][] = [];
  const tell = toldRarely(
    (what, keptBack) => told.push([what, keptBack]),
    () => now,
  );
  for (; now < 60_000; now += 100) tell('full');
  expect(told).toEqual([['full', 0]]);
  tell('busy');
  tell('full');
  expect(told.slice(1)).toEqual([
    ['busy', 0],
    ['full', 599],
  ]);
  for (let other = 0; other < 1000; other++) tell(`place ${other}`);
  expect(told).toHaveLength(1003);
});
