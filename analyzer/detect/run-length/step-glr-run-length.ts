import { gaussLegendre } from '../../stats/gauss-legendre.ts';
import { normalCdf, normalDensity } from '../../stats/normal.ts';

/**
 * Average samples between false alarms of a step likelihood ratio (stepGlr) over independent samples, approximately:
 *
 *   1 / (b φ(b) ∫ x ν²(x) dx), x from b/√window to b, for both sides; twice as long for one side
 *
 * @param limit b, standard deviations, > 0
 * @param window longest age looked at, samples, >= 2
 * @param sides 'one' or 'two'
 * @returns samples; against simulation within 15 % from 300 samples on (tests/analyzer/detect/step-glr-run-length.test.ts)
 * @throws {RangeError} if a number is out of range
 * Source: D. Siegmund & E. S. Venkatraman, Ann. Statist. 23, 1995, theorem 1; ν by D. Siegmund & B. Yakir, The Statistics of
 * Gene Mapping, 2007, section 4.4. From memory; checked by simulation.
 * @example
 * stepGlrRunLength(4, 100, 'one'); // 5688.5154
 */
export function stepGlrRunLength(limit: number, window: number, sides: 'one' | 'two'): number {
  if (!(limit > 0 && limit < 38)) throw new RangeError(`limit ${limit}: expected 0 to 38 standard deviations`);
  if (!(Number.isInteger(window) && window >= 2))
    throw new RangeError(`window ${window}: expected a whole number from 2`);
  const { points, weights } = gaussLegendre(60, limit / Math.sqrt(window), limit);
  let integral = 0;
  for (let i = 0; i < points.length; i++) integral += weights[i]! * points[i]! * overshoot(points[i]!) ** 2;
  const bothSides = 1 / (limit * normalDensity(limit) * integral);
  return sides === 'two' ? bothSides : 2 * bothSides;
}

/** Siegmund's correction ν for a statistic that is seen at whole samples only. */
function overshoot(x: number): number {
  const half = x / 2;
  return ((2 / x) * (normalCdf(half) - 0.5)) / (half * normalCdf(half) + normalDensity(half));
}
