import { expect, test } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { excessAirOf } from '../../../analyzer/baseline/excess-air.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import type { Moments } from '../../../analyzer/baseline/pump-pool.ts';
import { emptyPumpPool, type PumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { answeredShare, fitInsert, wearClock, wearInsert } from '../../../analyzer/baseline/pump-wear.ts';

const FLOW = Math.log(2);
const OUTPUT = Math.log(150);
const NEW: Moments = { mean: 0, sd: PRIORS.newWear };

/** A gun that was seen for a moment. */
function met(kind: 'setpoint' | 'measured' | 'coupled', first: Moments): PumpPool {
  const pool = emptyPumpPool();
  const start = Date.UTC(2026, 2, 2, 6);
  const block = {
    ...{ gun: 'gun-01', powder: 'p-1', start, end: start + 900_000, runs: 30, minutes: 15, kilograms: 0 },
    ...{ flow: FLOW, output: OUTPUT, outputVariance: 1e-5, supplementary: 1.5, pressure: 2 },
  } as unknown as Block;
  learnBlock(pool, block, kind, first);
  return pool;
}

/** Sprays so many hours of which nothing is heard but the powder. @returns loss (ln output) that inserts usually have by then */
function spray(pool: PumpPool, hours: number): number {
  let usual = 0;
  for (let at = 0; at < 4 * hours; at++) {
    usual += PRIORS.rate.mean * wearClock(pool, 'gun-01', 'p-1', 2.25, FLOW);
    wearInsert(pool, 'gun-01', 'p-1', 2.25, FLOW, 0.25);
  }
  return usual;
}

/** Loss (ln output) that is told of the insert, with what a hand lets pass. */
function told(pool: PumpPool): number {
  const { wear, elasticity } = excessAirOf(pool, 'gun-01', 'p-1', OUTPUT)!;
  return wear * elasticity;
}

test.each([8, 20, 40])(
  'an insert that was new when a hand set its air is told as worn as any other after %i hours',
  (hours) => {
    for (const kind of ['measured', 'setpoint'] as const) {
      const pool = met(kind, NEW);
      const usual = spray(pool, hours);
      expect(told(pool) / usual, kind).toBeGreaterThan(0.9);
      expect(told(pool) / usual, kind).toBeLessThan(1.1);
    }
  },
);

test('what a hand lets pass comes besides where it answered wear before, or comes down from it', () => {
  const worn = met('setpoint', PRIORS.firstWear);
  expect(worn.guns['gun-01']!.unanswered).toBe(false);
  const changed = met('setpoint', NEW);
  spray(changed, 20);
  fitInsert(changed, 'gun-01');
  const usual = spray(changed, 20);
  expect(told(changed)).toBeGreaterThan(usual + 0.8 * PRIORS.lag.mean);
});

test('an output that is measured or only computed has no answer that is waited for', () => {
  for (const kind of ['measured', 'coupled'] as const) expect(met(kind, NEW).guns['gun-01']!.unanswered).toBe(false);
});

test('a hand answers half of the first loss, and nearly all once much was lost', () => {
  expect(answeredShare(0)).toBe(0.5);
  expect(answeredShare(5 * PRIORS.lag.mean)).toBeCloseTo(0.993, 3);
});
