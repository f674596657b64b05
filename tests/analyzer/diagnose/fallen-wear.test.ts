import { expect, test } from 'vitest';
import { takeFallen } from '../../../analyzer/diagnose/fallen-wear.ts';
import { START, stepBench } from './step-bench.ts';

/** What is believed of an insert's excess air (ln, and its deviation) after each two spray hours: how often it was taken for new. */
function follow(beliefs: readonly (readonly [number, number])[], insert: object = {}) {
  const made = stepBench();
  made.memory.step = null;
  Object.assign(made.memory.insert, insert);
  const taken = beliefs.map(([wear, wearSd]) => takeFallen(made.look(2, 0), { wear, wearSd }));
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
