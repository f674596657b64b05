import { gammaln } from 'simple-statistics';
import { findRoot } from './find-root.ts';
import { lowerGamma } from './incomplete-gamma.ts';

/** Costs of one replacement, any one currency. */
export interface ReplacementCosts {
  /** Replaced in time, > 0. */
  readonly planned: number;
  /** Replaced after a failure, with all that it brings. */
  readonly failure: number;
}

/** The age at which replacing in time costs least in the long run. */
export interface AgePolicy {
  readonly age: number;
  /** Cost per unit of time at that age. */
  readonly costRate: number;
  /** Cost per unit of time when every part runs to failure. */
  readonly costRateToFailure: number;
  /** Share of parts that reach the age. */
  readonly reliability: number;
}

/**
 * Optimum age replacement for Weibull lives: the age T that minimises (cp·R(T) + cf·F(T)) / ∫₀ᵀ R.
 *
 * @param life shape and scale of the lives
 * @returns the policy, or null where waiting never costs more: shape at most 1, or a failure no dearer than a plan
 * @throws {RangeError} if a number is not above 0
 * Source: R. E. Barlow & L. C. Hunter, Operations Research 8, 1960.
 * @example
 * ageReplacement({ shape: 2.5, scale: 1000 }, { planned: 1, failure: 5 }).age; // 493.0469576
 */
export function ageReplacement(
  life: { readonly shape: number; readonly scale: number },
  costs: ReplacementCosts,
): AgePolicy | null {
  const { shape, scale } = life;
  const { planned, failure } = costs;
  if (!(shape > 0 && scale > 0 && planned > 0 && failure > 0))
    throw new RangeError(`shape ${shape}, scale ${scale}, costs ${planned} and ${failure}: expected numbers above 0`);
  if (shape <= 1 || failure <= planned) return null;
  const mean = scale * Math.exp(gammaln(1 + 1 / shape));
  const wanted = planned / (failure - planned);
  /** ∫₀ᵀ R: mean time to replacement at age T. */
  const cycle = (age: number): number => mean * lowerGamma(1 / shape, (age / scale) ** shape);
  const survival = (age: number): number => Math.exp(-((age / scale) ** shape));
  const excess = (age: number): number =>
    (shape / scale) * (age / scale) ** (shape - 1) * cycle(age) - (1 - survival(age)) - wanted;
  let high = scale;
  while (excess(high) < 0) high *= 2;
  const age = findRoot(excess, 0, high, 1e-12 * scale);
  const reliability = survival(age);
  return {
    age,
    costRate: (planned * reliability + failure * (1 - reliability)) / cycle(age),
    costRateToFailure: failure / mean,
    reliability,
  };
}
