import { expect, test } from 'vitest';
import { takeFallen } from '../../../analyzer/diagnose/fallen-wear.ts';
import { stepBench } from './step-bench.ts';

/** What is believed of an insert's excess air (ln, and its deviation) after each two spray hours: how often it was taken for new. */
function follow(beliefs: readonly (readonly [number, number])[]) {
  const made = stepBench();
  made.memory.step = null;
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
