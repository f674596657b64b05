import { describe, expect, it } from 'vitest';
import { autocorrelatedEwmaSigma } from '../../../analyzer/detect/run-length/autocorrelation.ts';
import { promisedLimit } from '../../../analyzer/detect/run-length/promise.ts';
import { seededNormal } from '../../seeded-normal.ts';

const WANTED = 400;
const RUNS = 2500;
const promise = { falseAlarmsPerYear: 1, share: 1, samplesPerYear: WANTED };

/** Mean samples to an alarm of `step` over first-order autoregressions of variance 1. */
function simulated(lagOne: number, newRun: () => (x: number) => boolean): number {
  const normal = seededNormal(31);
  const innovation = Math.sqrt(1 - lagOne * lagOne);
  let total = 0;
  for (let run = 0; run < RUNS; run++) {
    const alarms = newRun();
    let x = normal();
    for (total += 1; !alarms(x); total += 1) x = lagOne * x + innovation * normal();
  }
  return total / RUNS;
}

/** Stated accuracy: at least the wanted run length less three standard errors, at most `most` times it. */
function expectKept(length: number, most: number): void {
  expect(length).toBeGreaterThan(WANTED * (1 - 3 / Math.sqrt(RUNS)));
  expect(length).toBeLessThan(WANTED * most);
}

describe('limits for autocorrelated samples keep the promise in simulation', () => {
  for (const [lagOne, most] of [
    [0, 1.1],
    [0.2, 1.2],
    [0.5, 1.6],
    [0.8, 2.2],
  ] as const) {
    it(`for a CUSUM at lag-one correlation ${lagOne}`, () => {
      const slack = 0.4;
      const limit = promisedLimit({ kind: 'cusum', slack, sides: 'one' }, promise, { lagOne });
      const newRun = () => {
        let sum = 0;
        return (x: number) => {
          sum = Math.max(0, sum + x - slack);
          return sum > limit;
        };
      };
      expectKept(simulated(lagOne, newRun), most);
    });

    it(`for an EWMA at lag-one correlation ${lagOne}`, () => {
      const lambda = 0.1;
      const limit = promisedLimit({ kind: 'ewma', lambda, sides: 'two' }, promise, { lagOne });
      const halfWidth = limit * autocorrelatedEwmaSigma(lambda, lagOne);
      const newRun = () => {
        let average = 0;
        return (x: number) => {
          average += lambda * (x - average);
          return Math.abs(average) > halfWidth;
        };
      };
      expectKept(simulated(lagOne, newRun), 1.4 * most);
    });
  }
});

describe('limits for an estimated baseline keep the promise in simulation', () => {
  for (const baselineSamples of [60, 200])
    it(`as a rate averaged over baselines of ${baselineSamples} samples`, () => {
      const normal = seededNormal(32);
      const slack = 0.5;
      const limit = promisedLimit({ kind: 'cusum', slack, sides: 'one' }, promise, { baselineSamples });
      let rate = 0;
      const baselines = 300;
      const alarmsEach = 10;
      for (let baseline = 0; baseline < baselines; baseline++) {
        const offset = normal() / Math.sqrt(baselineSamples);
        let samples = 0;
        for (let alarm = 0; alarm < alarmsEach; alarm++) {
          let sum = 0;
          // Runs are cut at eight times the wanted length, which overstates the rate a little.
          for (let n = 0; sum <= limit && n < 8 * WANTED; n++, samples++)
            sum = Math.max(0, sum + normal() - offset - slack);
        }
        rate += alarmsEach / samples / baselines;
      }
      expect(rate * WANTED).toBeGreaterThan(0.75);
      expect(rate * WANTED).toBeLessThan(1.35);
    });

  it('and refuse a baseline whose error reaches the slack', () => {
    const chart = { kind: 'cusum', slack: 0.1, sides: 'one' } as const;
    expect(() => promisedLimit(chart, { ...promise, samplesPerYear: 1e6 }, { baselineSamples: 20 })).toThrow(
      /slack has to exceed/,
    );
  });
});
