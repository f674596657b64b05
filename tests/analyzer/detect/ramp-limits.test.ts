import { describe, expect, it } from 'vitest';
import { rampDeviations } from '../../../analyzer/detect/ramp-limits.ts';

describe('rampDeviations', () => {
  /*
   * Half of a year's false alarms over the nine parts of a year is the chance of one look; quantiles of the normal distribution
   * from NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.2 (critical values of t, row of infinitely many degrees).
   */
  it.each([
    { falseAlarms: 0.9, chance: 0.05, deviations: 1.645 },
    { falseAlarms: 0.45, chance: 0.025, deviations: 1.96 },
    { falseAlarms: 0.18, chance: 0.01, deviations: 2.326 },
    { falseAlarms: 0.018, chance: 0.001, deviations: 3.09 },
  ])('$falseAlarms false alarms a year leave a chance of $chance for one look', ({ falseAlarms, deviations }) => {
    expect(rampDeviations(falseAlarms)).toBeCloseTo(deviations, 3);
  });

  it('asks for more the fewer false alarms are accepted, within its bounds', () => {
    const asked = [1e-9, 0.01, 0.1, 0.3, 1, 2, 50].map(rampDeviations);
    expect(asked).toEqual([...asked].sort((left, right) => right - left));
    expect(asked[0]).toBe(4);
    expect(asked.at(-1)).toBeCloseTo(1.036, 3);
  });
});
