import type { PartLife } from '../life/part-lives.ts';
import { upperGamma } from '../stats/incomplete-gamma.ts';
import { weibullMean } from '../stats/weibull.ts';
import type { PartCosts } from './cost-figures.ts';

/** Changes that came too early or too late, and what that cost; money null where the shop's figures do not say. */
export interface Timeliness {
  readonly early: number;
  readonly earlyMoney: number | null;
  readonly late: number;
  readonly lateMoney: number | null;
}

/**
 * Spray hours that a part of this age would have gone on for, on average: ∫ R over what follows, over R(age).
 *
 * @example
 * meanResidual({ shape: 1, scale: 50 }, 20); // 50
 */
export function meanResidual(life: { readonly shape: number; readonly scale: number }, age: number): number {
  const reached = (age / life.scale) ** life.shape;
  return (weibullMean(life) * upperGamma(1 / life.shape, reached)) / Math.exp(-reached);
}

/**
 * Whether changes of one kind of part came in time.
 *
 * Too early: the part that was taken out was found good; lost is the share of its price that it would still have served. Too
 * late: it was found failed; lost is what an unplanned change costs over a planned one.
 *
 * @param ended lives of the part that ended by a change
 * @param fit distribution of its lives; null where the data is too thin: then early changes are counted and not priced
 */
export function timeliness(
  ended: readonly PartLife[],
  fit: { readonly shape: number; readonly scale: number } | null,
  costs: PartCosts | undefined,
): Timeliness {
  const early = ended.filter(({ end }) => end === 'good');
  const late = ended.filter(({ end }) => end === 'failed');
  const piece = costs?.piece ?? null;
  const dearer =
    costs?.planned == null || costs.unplanned == null ? null : Math.max(0, costs.unplanned - costs.planned);
  return {
    early: early.length,
    earlyMoney:
      early.length === 0
        ? 0
        : piece === null || fit === null
          ? null
          : early.reduce((sum, { sprayHours }) => {
              const left = meanResidual(fit, sprayHours);
              return sum + (piece * left) / (sprayHours + left);
            }, 0),
    late: late.length,
    lateMoney: late.length === 0 ? 0 : dearer === null ? null : late.length * dearer,
  };
}
