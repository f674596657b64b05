import { expect, test } from 'vitest';
import { takeFallen } from '../../../analyzer/diagnose/fallen-wear.ts';
import type { Bench } from '../../../analyzer/diagnose/site-view.ts';
import { START, stepBench } from './step-bench.ts';

/** What is believed of an insert's excess air (ln, and its deviation) after each two spray hours: how often it was taken for new. */
function follow(beliefs: readonly (readonly [number, number])[], insert: object = {}, output = 'measured') {
  const made = stepBench();
  made.memory.step = null;
  Object.assign(made.memory.insert, insert);
  const taken = beliefs.map(([wear, wearSd]) => {
    const look = made.look(2, 0);
    return takeFallen({ ...look, gun: { ...look.gun, output } as Bench['gun'] }, { wear, wearSd, elasticity: 1 });
  });
  return { memory: made.memory, taken };
}

test('a loss that is believed to have more than halved, against all wear, is an insert changed without a word', () => {
  const { memory, taken } = follow([
    [0.15, 0.04],
    [0.18, 0.04],
    [0.12, 0.04],
    [0.07, 0.04],
    [0.05, 0.04],
  ]);
  expect(taken).toEqual([false, false, false, true, false]);
  expect(memory.insert).toMatchObject({ logged: false, atHours: 26, kilograms: 0 });
  expect(memory.returns).toHaveLength(1);
  expect(memory.returns[0]).toMatchObject({ part: 'pump-insert', before: 0.18, after: 0.07, counted: true });
});

test('a belief that only swings, or was never sure, tells of nothing', () => {
  expect(
    follow([
      [0.18, 0.04],
      [0.12, 0.04],
      [0.1, 0.03],
    ]).taken,
  ).not.toContain(true);
  expect(
    follow([
      [0.18, 0.09],
      [0.06, 0.05],
    ]).taken,
  ).not.toContain(true);
  expect(
    follow([
      [0.08, 0.01],
      [0.01, 0.01],
    ]).taken,
  ).not.toContain(true);
});

test('a logged change that the first hours did not show is believed once a third of the loss has gone', () => {
  const beliefs = [
    [0.23, 0.05],
    [0.13, 0.03],
  ] as const;
  const { memory, taken } = follow(beliefs, { since: START, logged: true, atHours: 20, inVain: true });
  expect(taken).toEqual([false, true]);
  expect(memory.insert).toMatchObject({ since: START, logged: true, atHours: 20, inVain: false });
  expect(memory.returns).toHaveLength(0);
  expect(follow(beliefs, { since: START, logged: true, atHours: 20 }).taken).not.toContain(true);
  const less = follow([beliefs[0], [0.19, 0.03]], { since: START, logged: true, atHours: 20, inVain: true });
  expect(less.taken).not.toContain(true);
});

test('where a hand sets the output, half a life has to have gone, and more than a notch', () => {
  const falls = [
    [0.2, 0.04],
    [0.02, 0.03],
  ] as const;
  const at = (atHours: number) => ({ since: START, logged: true, atHours });
  expect(follow(falls, at(0)).taken).toEqual([false, true]);
  // 22 and 24 spray hours of the gun: of those the insert has been in for 2 and 4, or for 32 and 34.
  expect(follow(falls, at(20), 'setpoint').taken).toEqual([false, false]);
  expect(follow(falls, at(-10), 'setpoint').taken).toEqual([false, true]);
  // By hand: 0.09 of 0.14 is 2.5 deviations of 0.035, and 1.7 with a notch of 0.04 at an elasticity of 1.
  const less = [
    [0.14, 0.04],
    [0.05, 0.03],
  ] as const;
  expect(follow(less, at(-10)).taken).toEqual([false, true]);
  expect(follow(less, at(-10), 'setpoint').taken).toEqual([false, false]);
});
