import { describe, expect, it } from 'vitest';
import { Verdict } from '../../../analyzer/detect/detector.ts';
import { cusumLimit, ewmaLimit } from '../../../analyzer/detect/run-length/critical-limit.ts';
import { cusumDriftRunLength, ewmaDriftRunLength } from '../../../analyzer/detect/run-length/drift-run-length.ts';
import { rampGlr } from '../../reference-detectors/ramp-glr.ts';
import { seededNormal } from '../../seeded-normal.ts';

const BETWEEN_FALSE_ALARMS = 500;
/** Limit of rampGlr with window 400 that keeps as many samples between false alarms, found by simulation. */
const RAMP_LIMIT = 3.16;
const RUNS = 250;

const cusumDelay = (slack: number, delta: number): number =>
  cusumDriftRunLength({ slack, limit: cusumLimit(slack, 'one', { samples: BETWEEN_FALSE_ALARMS }) }, delta);
const ewmaDelay = (lambda: number, delta: number): number =>
  ewmaDriftRunLength(
    { lambda, limit: ewmaLimit(lambda, 'one', { samples: BETWEEN_FALSE_ALARMS }), sides: 'one' },
    delta,
  );

/** Mean samples to an alarm of rampGlr, and the mean's standard error. */
function rampDelay(delta: number): { readonly mean: number; readonly error: number } {
  const normal = seededNormal(41);
  const settings = rampGlr.schema.parse({ limit: RAMP_LIMIT, window: 400 });
  let sum = 0;
  let squares = 0;
  for (let run = 0; run < RUNS; run++) {
    const state = rampGlr.init(settings);
    let sample = 1;
    while (rampGlr.step(settings, state, normal() + delta * sample) !== Verdict.alarm) sample++;
    sum += sample;
    squares += sample * sample;
  }
  const mean = sum / RUNS;
  return { mean, error: Math.sqrt((squares / RUNS - mean * mean) / RUNS) };
}

describe('detectors for slow ramps at equal false-alarm rates', () => {
  it.each([
    [0.001, 154.7, 155.2],
    [0.005, 71.2, 70.2],
    [0.01, 50.2, 49.1],
  ])(
    'a CUSUM of slack 0.1 and an EWMA of lambda 0.02 take the tabulated time at %d per sample',
    (delta, cusum, ewma) => {
      expect(cusumDelay(0.1, delta)).toBeCloseTo(cusum, 1);
      expect(ewmaDelay(0.02, delta)).toBeCloseTo(ewma, 1);
    },
  );

  it.each([0.001, 0.005])('both beat the ratio over all onsets and slopes at %d per sample', (delta) => {
    const { mean, error } = rampDelay(delta);
    expect(cusumDelay(0.1, delta)).toBeLessThan(mean - 2 * error);
    expect(ewmaDelay(0.02, delta)).toBeLessThan(mean - 2 * error);
  });

  it('small slack and lambda are for slow ramps only', () => {
    expect(cusumDelay(0.5, 0.1)).toBeLessThan(cusumDelay(0.1, 0.1));
    expect(ewmaDelay(0.1, 0.1)).toBeLessThan(ewmaDelay(0.02, 0.1));
  });
});
