import { describe, expect, it } from 'vitest';
import { readSupplementary } from '../../../analyzer/baseline/supplementary-line.ts';

const ATMOSPHERE = 1.013;

/** Flow by ISO 6358-1 written out here, m3/h of a line of conductance 0.6 and critical ratio 0.35 into a hose at `back` bar. */
function flowAt(bar: number, back: number): number {
  const ratio = (ATMOSPHERE + back) / bar;
  const choked = 0.6 * bar;
  return ratio <= 0.35 ? choked : choked * Math.sqrt(1 - ((ratio - 0.35) / 0.65) ** 2);
}

describe('readSupplementary', () => {
  it('tells one conductance from choked flow down to a few tenths of a bar, within what it says', () => {
    const at = (gauge: number) =>
      readSupplementary(flowAt(ATMOSPHERE + gauge, 0.045), ATMOSPHERE + gauge, ATMOSPHERE, 20)!;
    const choked = at(2.5);
    for (const gauge of [1.5, 0.8, 0.5, 0.3]) {
      const { value, variance } = at(gauge);
      expect(Math.abs(value - choked.value)).toBeLessThan(2 * Math.sqrt(variance) + 0.03);
    }
    // As ln(flow / pressure), which is what a choked line keeps, the same line has lost more than half.
    expect(Math.log(flowAt(1.183, 0.045) / 1.183) - Math.log(flowAt(3.5, 0.045) / 3.5)).toBeLessThan(-0.5);
  });

  it('says so little at the pressure of the hose that nothing is said at all', () => {
    expect(readSupplementary(0.3, ATMOSPHERE + 0.09, ATMOSPHERE, 20)).toBeNull();
    expect(readSupplementary(0.3, ATMOSPHERE, ATMOSPHERE, 20)).toBeNull();
    expect(readSupplementary(Number.NaN, Number.NaN, ATMOSPHERE, 20)).toBeNull();
  });

  it('sees a clogged filter at any pressure at which it says something', () => {
    for (const gauge of [0.5, 1, 2]) {
      const [sound, clogged] = [1, 0.7].map(
        (share) =>
          readSupplementary(share * flowAt(ATMOSPHERE + gauge, 0.06), ATMOSPHERE + gauge, ATMOSPHERE, 20)!.value,
      );
      expect(clogged! - sound!).toBeCloseTo(Math.log(0.7), 10);
    }
  });
});
