import { linearForm } from '../baseline/gaussian-state.ts';
import type { PumpPool } from '../baseline/pump-pool.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { firstPassageCdf } from '../stats/first-passage.ts';
import { normalCdf, normalDensity, normalQuantile } from '../stats/normal.ts';
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

/** All that the spray hours to a limit follow from. Plain numbers: reckoning them is put off until somebody wants to know. */
export interface WayLeft {
  /** Loss still to come until the limit (ln output), and its deviation. */
  readonly left: number;
  readonly leftSd: number;
  /** Wear for each unit of the wear clock, and its deviation in ln. */
  readonly rate: number;
  readonly rateSd: number;
  readonly clockPerHour: number;
  readonly soFar: LifeSoFar | null;
}

/**
 * How far the loss of a gun's insert is from the limit, and how fast it goes.
 *
 * @param limitLoss loss (ln output) at the limit, and its deviation
 * @param clockPerHour kilograms × velocity × abrasiveness that this gun puts through in a spray hour
 * @param soFar age and past lives; null where the insert's start or no life is known
 * @returns null when the gun is unknown or puts nothing through
 */
export function wayLeft(
  pool: PumpPool,
  gunId: string,
  limitLoss: number,
  limitSd: number,
  clockPerHour: number,
  soFar: LifeSoFar | null = null,
): WayLeft | null {
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
  return { left, leftSd, rate: usual, rateSd, clockPerHour, soFar };
}

/**
 * Spray hours until the loss of an insert reaches the limit.
 *
 * The way to go is normal (what is lost now and the limit are both uncertain), the wear of an hour is log-normal (this
 * insert's rate, this gun's earlier ones, all guns, the powders' abrasiveness). Each pair of their quantiles is a drift with
 * diffusion whose first passage is inverse Gaussian; pairs count by how well the whole life that they imply agrees with past
 * lives. The answer is the quantiles of that mixture.
 *
 * Source: R. S. Chhikara & J. L. Folks, The Inverse Gaussian Distribution, 1989; C. J. Lu & W. Q. Meeker (1993), Technometrics 35, degradation
 * with random effects.
 */
export function remainingLife(way: WayLeft): Interval {
  const mixture = mixtureOf(way);
  return { p10: quantileOf(mixture, 0.1), p50: quantileOf(mixture, 0.5), p90: quantileOf(mixture, 0.9) };
}

/** What is kept of the spray hours that are left: reckoned, or still what they follow from. */
export type Remaining = Interval | WayLeft;

/** What was reckoned: a finding that settings have in common is read once for each of them. */
const reckoned = new WeakMap<WayLeft, Interval>();

/** The spray hours themselves. */
export function intervalOf(remaining: Remaining): Interval {
  if ('p50' in remaining) return remaining;
  let interval = reckoned.get(remaining);
  if (interval === undefined) {
    interval = remainingLife(remaining);
    reckoned.set(remaining, interval);
  }
  return interval;
}

/**
 * Middle of the spray hours that are left; `near` itself, where the middle is surely less than `within` from it: that is known from
 * two looks at the mixture and not from thirty.
 *
 * @param near spray hours
 */
export function medianOf(remaining: Remaining, near: number, within: number): number {
  if ('p50' in remaining) return remaining.p50;
  const mixture = mixtureOf(remaining);
  const [low, high] = [(near - within) * Math.exp(2 * CELL), (near + within) * Math.exp(-2 * CELL)];
  if (low > 0 && low < high && !reaches(mixture, low, 0.5) && reaches(mixture, high, 0.5)) return near;
  return quantileOf(mixture, 0.5);
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

interface Mixture {
  readonly passages: readonly Passage[];
  /** Of one spray hour. */
  readonly sigma: number;
  readonly total: number;
}

function mixtureOf({ left, leftSd, rate, rateSd, clockPerHour, soFar }: WayLeft): Mixture {
  const passages: Passage[] = [];
  let total = 0;
  for (const a of quantiles)
    for (const b of quantiles) {
      const distance = Math.max(0, left + a * leftSd);
      const perClock = rate * Math.exp(b * rateSd);
      const weight = agreement(soFar, distance / perClock);
      passages.push({ distance, drift: perClock * clockPerHour, weight });
      total += weight;
    }
  const sigma = Math.sqrt((PRIORS.wearStray ** 2 / PRIORS.usualLife) * PRIORS.rate.mean * clockPerHour);
  return { passages, sigma, total };
}

/** Weight of what has passed the limit after so many spray hours. */
function passedBy({ passages, sigma }: Mixture, hours: number): number {
  let sum = 0;
  const spread = BEYOND * sigma * Math.sqrt(hours);
  for (const { distance, drift, weight } of passages) {
    const ahead = drift * hours - distance;
    if (distance === 0 || ahead >= spread) sum += weight;
    else if (ahead > -spread) sum += weight * firstPassageCdf({ distance, drift, sigma }, hours);
  }
  return sum;
}

/** Φ and φ at steps of this many deviations from -BEYOND to BEYOND: they bound a passage without its reckoning. */
const STEP = 0.25;
const grid = Array.from({ length: (2 * BEYOND) / STEP + 1 }, (_, i) => i * STEP - BEYOND);
const below = grid.map(normalCdf);
/** Largest density within the step that begins here. */
const densest = grid.map((z) => normalDensity(z < 0 ? z + STEP : z));
/** Source: own choice, far beyond the rounding of a sum. */
const ROUNDING = 1e-9;

/**
 * Whether a share has passed the limit after so many spray hours. Bounds mostly tell: with z = (vt - D)/(s√t) and b = (vt + D)/(s√t),
 * Φ(z) <= F <= Φ(z) + φ(z)/b, because Mills' ratio at b is below 1/b.
 */
function reaches(mixture: Mixture, hours: number, share: number): boolean {
  const { passages, sigma, total } = mixture;
  const unit = sigma * Math.sqrt(hours);
  let low = 0;
  let high = 0;
  for (const { distance, drift, weight } of passages) {
    const gone = drift * hours;
    if (distance === 0 || gone - distance >= BEYOND * unit) {
      low += weight;
      high += weight;
    } else if (gone - distance > -BEYOND * unit) {
      const at = Math.min(grid.length - 2, Math.floor(((gone - distance) / unit + BEYOND) / STEP));
      low += weight * below[at]!;
      high += weight * Math.min(1, below[at + 1]! + (densest[at]! * unit) / (gone + distance));
    }
  }
  if (low > share * total * (1 + ROUNDING)) return true;
  if (high < share * total * (1 - ROUNDING)) return false;
  return passedBy(mixture, hours) / total >= share;
}

/** Between a thousandth and some four times the longest mean: the tails beyond are no business of what is told. */
const SHORTEST = -7;
const LONGEST = 1.5;
/** Last step of the halving, ln time. */
const CELL = (LONGEST - SHORTEST) / 2 ** HALVINGS;

function quantileOf(mixture: Mixture, share: number): number {
  const longest = Math.max(...mixture.passages.map(({ distance, drift }) => distance / drift));
  if (reaches(mixture, 0, share) || longest === 0) return 0;
  let low = Math.log(longest) + SHORTEST;
  let high = Math.log(longest) + LONGEST;
  for (let step = 0; step < HALVINGS; step++) {
    const middle = (low + high) / 2;
    if (reaches(mixture, Math.exp(middle), share)) high = middle;
    else low = middle;
  }
  return Math.exp((low + high) / 2);
}
