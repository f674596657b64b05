import { linearForm } from '../baseline/gaussian-state.ts';
import type { PumpPool } from '../baseline/pump-pool.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { firstPassageCdf } from '../stats/first-passage.ts';
import { normalQuantile } from '../stats/normal.ts';
import type { LifeBelief } from './past-lives.ts';

export interface Interval {
  readonly p10: number;
  readonly p50: number;
  readonly p90: number;
}

/** How old the insert is, wear clock, and what past lives say of its whole. */
export interface LifeSoFar {
  readonly clock: number;
  readonly whole: LifeBelief;
}

const LEVELS = 9;
const quantiles = Array.from({ length: LEVELS }, (_, i) => normalQuantile((i + 0.5) / LEVELS));
/** Steps of halving ln time: a two-hundredth is left. Source: own choice, finer than what is told. */
const HALVINGS = 11;
/** Deviations of the diffusion beyond which a passage is as good as made, or not. Source: own choice: a normal tail of 3e-5. */
const BEYOND = 4;

/**
 * Spray hours until the loss of a gun's insert reaches the limit.
 *
 * The way to go is normal (what is lost now and the limit are both uncertain), the wear of an hour is log-normal (this
 * insert's rate, this gun's earlier ones, all guns, the powders' abrasiveness). Each pair of their quantiles is a drift with
 * diffusion whose first passage is inverse Gaussian; pairs count by how well the whole life that they imply agrees with past
 * lives. The answer is the quantiles of that mixture.
 *
 * @param limitLoss loss (ln output) at the limit, and its deviation
 * @param clockPerHour kilograms × velocity × abrasiveness that this gun puts through in a spray hour
 * @param soFar age and past lives; null where the insert's start or no life is known
 * @returns spray hours, or null when the gun is unknown or puts nothing through
 * Source: R. S. Chhikara & J. L. Folks, The Inverse Gaussian Distribution, 1989; C. J. Lu & W. Q. Meeker (1993), Technometrics 35, degradation
 * with random effects.
 */
export function remainingLife(
  pool: PumpPool,
  gunId: string,
  limitLoss: number,
  limitSd: number,
  clockPerHour: number,
  soFar: LifeSoFar | null = null,
): Interval | null {
  const gun = pool.guns[gunId];
  if (gun === undefined || !(clockPerHour > 0)) return null;
  const way = linearForm(pool.gaussian, [gun.wear], [1]);
  const rate = linearForm(pool.gaussian, [pool.rate, gun.gunRate, gun.lifeRate], [1, 1, 1]);
  const usual = Math.max(rate.mean, LEAST_RATE * PRIORS.rate.mean);
  const left = limitLoss - way.mean;
  const leftSd = Math.sqrt(way.variance + limitSd ** 2);
  // The rate may still change on the way: as much as the filter lets it over the rest of the life, and the mix of powders with it.
  const drift = PRIORS.rateStray ** 2 * Math.max(0, Math.min(1, left / PRIORS.usualLife));
  const rateSd = Math.min(Math.sqrt(rate.variance + drift) / usual, WIDEST_RATE);
  const passages: Passage[] = [];
  for (const a of quantiles)
    for (const b of quantiles) {
      const distance = Math.max(0, left + a * leftSd);
      const perClock = usual * Math.exp(b * rateSd);
      passages.push({ distance, drift: perClock * clockPerHour, weight: agreement(soFar, distance / perClock) });
    }
  return quantilesOf(passages, Math.sqrt((PRIORS.wearStray ** 2 / PRIORS.usualLife) * PRIORS.rate.mean * clockPerHour));
}

/** A rate is at least this share of a usual one, and its deviation at most this in ln: nothing heals, and forecasts stay finite. Source: own choice. */
const LEAST_RATE = 0.2;
const WIDEST_RATE = 0.8;

interface Passage {
  /** Way to go (ln output), wear of a spray hour, and how much it counts. */
  readonly distance: number;
  readonly drift: number;
  readonly weight: number;
}

/** Density of the whole life, ln clock, among past lives. */
function agreement(soFar: LifeSoFar | null, clockToGo: number): number {
  if (soFar === null) return 1;
  const { log, sd } = soFar.whole;
  return Math.exp(-0.5 * ((Math.log(soFar.clock + clockToGo) - log) / sd) ** 2) + LEAST_AGREEMENT;
}

/** What no past life agrees with still counts. Source: own choice. */
const LEAST_AGREEMENT = 0.01;

function quantilesOf(passages: readonly Passage[], sigma: number): Interval {
  const total = passages.reduce((sum, { weight }) => sum + weight, 0);
  const passedBy = (hours: number): number => {
    let sum = 0;
    const spread = BEYOND * sigma * Math.sqrt(hours);
    for (const { distance, drift, weight } of passages) {
      const ahead = drift * hours - distance;
      if (distance === 0 || ahead >= spread) sum += weight;
      else if (ahead > -spread) sum += weight * firstPassageCdf({ distance, drift, sigma }, hours);
    }
    return sum / total;
  };
  const there = passedBy(0);
  const longest = Math.max(...passages.map(({ distance, drift }) => distance / drift));
  const at = (share: number): number => {
    if (there >= share || longest === 0) return 0;
    // Between a thousandth and some four times the longest mean: the tails beyond are no business of these shares.
    let low = Math.log(longest) - 7;
    let high = Math.log(longest) + 1.5;
    for (let step = 0; step < HALVINGS; step++) {
      const middle = (low + high) / 2;
      if (passedBy(Math.exp(middle)) < share) low = middle;
      else high = middle;
    }
    return Math.exp((low + high) / 2);
  };
  return { p10: at(0.1), p50: at(0.5), p90: at(0.9) };
}
