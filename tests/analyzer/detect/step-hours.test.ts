import { expect, test } from 'vitest';
import { BLOCK_HOURS } from '../../../analyzer/detect/promise-shares.ts';
import { cusumRunLength } from '../../../analyzer/detect/run-length/average-run-length.ts';
import { stepHours } from '../../../analyzer/detect/step-hours.ts';
import { STEP_SLACK, stepLimit } from '../../../analyzer/detect/step-limits.ts';

// cusumRunLength is held against published tables elsewhere; here only what is kept of it.
const reckoned = (alarms: number, shift: number): number =>
  cusumRunLength({ slack: STEP_SLACK, limit: stepLimit(alarms) }, shift, 'one') * BLOCK_HOURS;

test('hours to a step are those of the run length, within a hundredth, asked once or twice', () => {
  for (const shift of [0.734, 1, 1.5049, 3.333])
    for (const asked of [1, 2]) {
      const hours = stepHours(0.5, shift);
      expect(Math.abs(hours / reckoned(0.5, shift) - 1), `shift ${shift}, asked ${asked}`).toBeLessThan(0.01);
    }
});

test('fewer alarms accepted take longer', () => {
  expect(stepHours(0.1, 1)).toBeGreaterThan(stepHours(1, 1));
});
