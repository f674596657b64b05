import { describe, expect, it } from 'vitest';
import { averageRunLength } from '../../../analyzer/detect/run-length/average-run-length.ts';
import { passageChance } from '../../../analyzer/detect/run-length/passage-chance.ts';
import { normalCdf } from '../../../analyzer/stats/normal.ts';
import { seededNormal } from '../../seeded-normal.ts';

describe('passageChance', () => {
  it('is that of independent looks where nothing is carried over', () => {
    expect(passageChance(0, () => 2, 1)).toBeCloseTo(1 - normalCdf(2), 3);
    expect(passageChance(0, () => 2.5, 40)).toBeCloseTo(1 - normalCdf(2.5) ** 40, 3);
  });

  // An EWMA of lambda 1 − ρ with limit L is the same autoregression: its run length comes from the integral equation that
  // tests/published/run-length.test.ts holds to the published tables; passages of a settled one are nearly exponential.
  it.each([
    [0.5, 2.5, 200],
    [0.9, 2.5, 500],
    [0.95, 3, 2000],
  ])('agrees with the run length of an EWMA at ρ %d and limit %d', (correlation, limit, looks) => {
    const gain = Math.sqrt(1 - correlation * correlation);
    const chart = { carry: correlation, gain, slack: 0, low: -6, high: limit, reflecting: false, start: 0 };
    const expected = 1 - Math.exp(-looks / averageRunLength(chart, 0));
    expect(passageChance(correlation, () => limit, looks) / expected).toBeGreaterThan(0.93);
    expect(passageChance(correlation, () => limit, looks) / expected).toBeLessThan(1.1);
  });

  it('agrees with a simulation where the boundary comes nearer', () => {
    const normal = seededNormal(7);
    const [correlation, looks, runs] = [0.9, 60, 4000];
    const boundary = (look: number): number => 1.8 + 2 * (1 - look / looks);
    let passed = 0;
    for (let run = 0; run < runs; run++) {
      let x = normal();
      for (let look = 1; look <= looks; look++) {
        if (look > 1) x = correlation * x + Math.sqrt(1 - correlation * correlation) * normal();
        if (x > boundary(look)) {
          passed++;
          break;
        }
      }
    }
    const share = passed / runs;
    const error = Math.sqrt((share * (1 - share)) / runs);
    expect(Math.abs(passageChance(correlation, boundary, looks) - share)).toBeLessThan(3 * error + 0.05 * share);
  });

  it('refuses a correlation of one and no looks', () => {
    expect(() => passageChance(1, () => 2, 5)).toThrow(RangeError);
    expect(() => passageChance(0.5, () => 2, 0)).toThrow(RangeError);
  });
});
