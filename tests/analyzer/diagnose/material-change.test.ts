import { expect, test } from 'vitest';
import { emptyBook, type Judgement, raise, update } from '../../../analyzer/diagnose/finding-book.ts';
import type { Finding } from '../../../collector/contract/index.ts';

const judged = (probability: number, p50: number): Judgement => ({
  category: 'maintenance-required',
  candidates: [{ cause: 'pump-insert', probability }],
  excessAir: null,
  remaining: { p10: 1, p50, p90: 90 },
  evidence: [],
});

/** Whether a snapshot is told when a finding's [probability, p50] goes from one to the other. */
function isTold(before: [number, number], after: [number, number]): boolean {
  const told: Finding[] = [];
  const at = { gun: 'gun-01', cause: 'pump-insert', subject: 'wear', onset: 0, now: 0, sprayHours: 0 };
  update(raise(emptyBook(), at, judged(...before), told), judged(...after), 1, 0, told);
  return told.length === 2;
}

// Source of the limits: contract of the findings, a probability by 0.05 and p50 by a tenth.
test.each([
  [0.8, 0.85],
  [0.85, 0.8],
  [0.7, 0.75],
])('a probability that moves from %d to %d is told', (before, after) => {
  expect(isTold([before, 37], [after, 37])).toBe(true);
});

test('a probability that moves by less than 0.05 is not told', () => {
  expect(isTold([0.8, 37], [0.849, 37])).toBe(false);
});

test('remaining hours that move by a tenth are told, by less they are not', () => {
  expect(isTold([0.8, 10], [0.8, 11])).toBe(true);
  expect(isTold([0.8, 10], [0.8, 10.9])).toBe(false);
});
