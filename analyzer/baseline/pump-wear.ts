import { decayQuantity, resetQuantity } from './gaussian-state.ts';
import { moveQuantity } from './move-quantity.ts';
import type { PumpPool } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';

/** A powder wears at least this share of the first, and an insert at this share of a usual rate: nothing heals. Source: own choice. */
const LEAST_WEAR = 0.1;

/** What the velocity of the last flow that was asked for comes to: a block asks several times. */
const faster = { logFlow: Number.NaN, reference: Number.NaN, factor: Number.NaN };

/** The same of the last pace. */
const paced = { own: Number.NaN, factor: Number.NaN };

/** Hundreds of kilograms times velocity that go through an insert. */
function throughput(pool: PumpPool, kilograms: number, logFlow: number): number {
  if (logFlow !== faster.logFlow || pool.reference !== faster.reference) {
    faster.logFlow = logFlow;
    faster.reference = pool.reference;
    faster.factor = Math.min(Math.exp(logFlow) / pool.reference, 3) ** PRIORS.velocityPower;
  }
  return (kilograms / 100) * faster.factor;
}

/**
 * What a block puts through an insert: hundreds of kilograms, times velocity, times the powder's abrasiveness, over the gun's
 * own pace. Whether inserts of fast and slow guns last alike in kilograms or in hours is not known; half way is near either.
 *
 * @returns wear clock, 100 kg at the reference velocity with the site's first powder on a gun of usual pace
 */
export function wearClock(pool: PumpPool, gunId: string, powderId: string, kilograms: number, logFlow: number): number {
  if (!(kilograms > 0) || pool.reference === 0) return 0;
  const powder = pool.powders[powderId];
  const pace = pool.guns[gunId]?.pace;
  const own = pace === undefined || pace.hours === 0 ? 1 : PRIORS.pace.usual / (pace.through / pace.hours);
  const abrasiveness = powder === undefined ? 1 : Math.max(pool.gaussian.mean[powder.abrasiveness]!, LEAST_WEAR);
  if (own !== paced.own) {
    paced.own = own;
    paced.factor = own ** PRIORS.pace.share;
  }
  return throughput(pool, kilograms, logFlow) * paced.factor * abrasiveness;
}

/**
 * Wears a gun's insert by what went through it, as fast as this gun, life and powder are believed to.
 *
 * @param kilograms of powder, measured or reckoned from the spray time
 * @param logFlow ln of conveying air, m3/h
 * @param hours sprayed
 */
export function wearInsert(
  pool: PumpPool,
  gunId: string,
  powderId: string,
  kilograms: number,
  logFlow: number,
  hours: number,
): void {
  const gun = pool.guns[gunId];
  const powder = pool.powders[powderId] ?? Object.values(pool.powders)[0];
  if (gun === undefined || powder === undefined || !(kilograms > 0) || pool.reference === 0) return;
  gun.pace.through += throughput(pool, kilograms, logFlow);
  gun.pace.hours += hours;
  const clock = wearClock(pool, gunId, powderId, kilograms, logFlow);
  const { gaussian } = pool;
  const { mean } = gaussian;
  const rate = mean[pool.rate]! + mean[gun.gunRate]! + mean[gun.lifeRate]!;
  const amount = Math.max(rate, LEAST_WEAR * PRIORS.rate.mean) * clock;
  const byPowder = amount / Math.max(mean[powder.abrasiveness]!, LEAST_WEAR);
  const answered = gun.unanswered ? answeredShare(mean[gun.wear]!) : 1;
  // Strays go with what a usual insert would have worn, so that a rate believed small does not silence the readings.
  const share = (PRIORS.rate.mean * clock) / PRIORS.usualLife;
  moveQuantity(
    gaussian,
    gun.wear,
    answered * amount,
    [pool.rate, gun.gunRate, gun.lifeRate, powder.abrasiveness],
    [answered * clock, answered * clock, answered * clock, answered * byPowder],
    answered ** 2 * PRIORS.wearStray ** 2 * share,
  );
  decayQuantity(gaussian, gun.lifeRate, 1, PRIORS.rateStray ** 2 * share);
}

/**
 * Share of what an insert loses next that a hand answers with air, where it set the air for a new one: half at first, all of it once the loss is far beyond what a hand lets pass. So what
 * inserts usually lose is not told as answered, and what a hand lets pass besides. After a change a hand comes down from more air and stops as soon as it may: there is no such play.
 *
 * @param answered ln of output that is answered so far
 * @returns d answered / d loss, of loss = answered + lag · (1 − exp(−answered / lag)), as `excessAirOf` tells it
 * Source: own choice, as PRIORS.lag has it.
 * @example
 * answeredShare(0); // 0.5
 */
export function answeredShare(answered: number): number {
  return 1 / (1 + Math.exp(-answered / PRIORS.lag.mean));
}

/** A new insert was fitted: no loss but its own tolerance, and a life with a rate of its own. */
export function fitInsert(pool: PumpPool, gunId: string): void {
  const gun = pool.guns[gunId];
  if (gun === undefined) return;
  resetQuantity(pool.gaussian, gun.wear, 0, PRIORS.newWear ** 2);
  resetQuantity(pool.gaussian, gun.lifeRate, 0, PRIORS.lifeRate ** 2);
  gun.unanswered = false;
  gun.calm = null;
  gun.watch = null;
}

/** Another part was changed or refitted: the level may have moved a little, the wear stays. */
export function loosenLevel(pool: PumpPool, gunId: string, sd: number): void {
  const gun = pool.guns[gunId];
  if (gun !== undefined) decayQuantity(pool.gaussian, gun.level, 1, sd * sd);
}
