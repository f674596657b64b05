import { gaussLegendre } from '../../stats/gauss-legendre.ts';
import { passage, pointCount, runLengthProfile } from './average-run-length.ts';
import { type EwmaDesign, ewmaChart } from './chart.ts';
import { ewmaHalfWidth } from './ewma-half-width.ts';

/** Share of the settled half width at which limits count as settled. Source: own choice, below the error of the integral. */
const SETTLED = 1 - 1e-10;

/**
 * Average run length of a two-sided EWMA whose limits are narrower while it settles, for a constant mean: the density of the
 * average is carried forward sample by sample until the limits have settled, and meets the run lengths of fixed limits there.
 *
 * @param design lambda and limit L
 * @param mean shift from the first sample on, standard deviations of one sample
 * @returns samples, >= 1
 * @throws {RangeError} if the design is out of range or the mean not finite
 * Source: S. Knoth, Computational Statistics 18, 2003; as xewma.arl(limits = "vacl") of CRAN spc.
 * @example
 * varyingEwmaRunLength({ lambda: 0.1, limit: 2.814 }, 1); // 8.15703
 */
export function varyingEwmaRunLength({ lambda, limit }: Omit<EwmaDesign, 'sides'>, mean: number): number {
  if (!Number.isFinite(mean)) throw new RangeError(`mean ${mean}: expected a finite number`);
  const settled = ewmaChart({ lambda, limit });
  const count = pointCount(settled);
  const halfWidth = (sample: number): number => ewmaHalfWidth({ lambda, limit, limits: 'varying' }, sample);
  let { points, weights } = gaussLegendre(count, -halfWidth(1), halfWidth(1));
  let density = points.map((to) => passage(settled, 0, to, mean));
  let length = 1;
  for (let sample = 2; halfWidth(sample - 1) < SETTLED * settled.high; sample++) {
    length += density.reduce((sum, value, i) => sum + weights[i]! * value, 0);
    const next = gaussLegendre(count, -halfWidth(sample), halfWidth(sample));
    density = next.points.map((to) => {
      let sum = 0;
      for (let i = 0; i < count; i++) sum += weights[i]! * density[i]! * passage(settled, points[i]!, to, mean);
      return sum;
    });
    ({ points, weights } = next);
  }
  // From here on the limits stay: each place of the average has the run length that fixed limits give it.
  const { atPoints } = runLengthProfile(settled, mean);
  return length + density.reduce((sum, value, i) => sum + weights[i]! * value * atPoints[i]!, 0);
}
