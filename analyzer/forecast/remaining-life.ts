import { linearForm } from '../baseline/gaussian-state.ts';
import type { PumpPool } from '../baseline/pump-pool.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { normalQuantile } from '../stats/normal.ts';

export interface Interval {
  readonly p10: number;
  readonly p50: number;
  readonly p90: number;
}

const LEVELS = 9;
const quantiles = Array.from({ length: LEVELS }, (_, i) => normalQuantile((i + 0.5) / LEVELS));

/**
 * Spray hours until the loss of a gun's insert reaches the limit.
 *
 * The way to go is normal (what is lost now and the limit are both uncertain), the wear of an hour is log-normal (this
 * insert's rate, this gun's earlier ones, all guns, the powders' abrasiveness): their quotient's quantiles, on a grid.
 *
 * @param limitLoss loss (ln output) at the limit, and its deviation
 * @param clockPerHour kilograms × velocity × abrasiveness that this gun puts through in a spray hour
 * @returns spray hours, or null when the gun is unknown or puts nothing through
 */
export function remainingLife(
  pool: PumpPool,
  gunId: string,
  limitLoss: number,
  limitSd: number,
  clockPerHour: number,
): Interval | null {
  const gun = pool.guns[gunId];
  if (gun === undefined || !(clockPerHour > 0)) return null;
  const way = linearForm(pool.gaussian, [gun.wear], [1]);
  const rate = linearForm(pool.gaussian, [pool.rate, gun.gunRate, gun.lifeRate], [1, 1, 1]);
  const usual = Math.max(rate.mean, 0.2 * PRIORS.rate.mean);
  const perHour = usual * clockPerHour;
  const left = limitLoss - way.mean;
  const leftSd = Math.sqrt(way.variance + limitSd ** 2);
  // The rate may still change on the way: as much as the filter lets it over the rest of the life, and the mix of powders with it.
  const drift = PRIORS.rateStray ** 2 * Math.max(0, Math.min(1, left / PRIORS.usualLife));
  const rateSd = Math.min(Math.sqrt(rate.variance + drift) / usual, 0.8);
  const hours: number[] = [];
  for (const a of quantiles)
    for (const b of quantiles) hours.push(Math.max(0, left + a * leftSd) / (perHour * Math.exp(b * rateSd)));
  hours.sort((first, second) => first - second);
  const at = (share: number): number => hours[Math.min(hours.length - 1, Math.floor(share * hours.length))]!;
  return { p10: at(0.1), p50: at(0.5), p90: at(0.9) };
}
