import { decayQuantity, moveQuantity, resetQuantity } from './gaussian-state.ts';
import type { PumpPool } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';

/** A powder wears at least this share of the first, and an insert at this share of a usual rate: nothing heals. Source: own choice. */
const LEAST_WEAR = 0.1;

/**
 * What a block puts through an insert: hundreds of kilograms, times velocity, times the powder's abrasiveness.
 *
 * @returns wear clock, 100 kg at the reference velocity with the site's first powder
 */
export function wearClock(pool: PumpPool, powderId: string, kilograms: number, logFlow: number): number {
  if (!(kilograms > 0) || pool.reference === 0) return 0;
  const powder = pool.powders[powderId];
  const velocity = Math.min(Math.exp(logFlow) / pool.reference, 3);
  const abrasiveness = powder === undefined ? 1 : Math.max(pool.gaussian.mean[powder.abrasiveness]!, LEAST_WEAR);
  return (kilograms / 100) * velocity ** PRIORS.velocityPower * abrasiveness;
}

/**
 * Wears a gun's insert by what went through it, as fast as this gun, life and powder are believed to.
 *
 * @param kilograms of powder, measured or reckoned from the spray time
 * @param logFlow ln of conveying air, m3/h
 */
export function wearInsert(pool: PumpPool, gunId: string, powderId: string, kilograms: number, logFlow: number): void {
  const gun = pool.guns[gunId];
  const powder = pool.powders[powderId] ?? Object.values(pool.powders)[0];
  const clock = wearClock(pool, powderId, kilograms, logFlow);
  if (gun === undefined || powder === undefined || clock === 0) return;
  const { gaussian } = pool;
  const { mean } = gaussian;
  const rate = mean[pool.rate]! + mean[gun.gunRate]! + mean[gun.lifeRate]!;
  const amount = Math.max(rate, LEAST_WEAR * PRIORS.rate.mean) * clock;
  const byPowder = amount / Math.max(mean[powder.abrasiveness]!, LEAST_WEAR);
  // Strays go with what a usual insert would have worn, so that a rate believed small does not silence the readings.
  const share = (PRIORS.rate.mean * clock) / PRIORS.usualLife;
  moveQuantity(
    gaussian,
    gun.wear,
    amount,
    [pool.rate, gun.gunRate, gun.lifeRate, powder.abrasiveness],
    [clock, clock, clock, byPowder],
    PRIORS.wearStray ** 2 * share,
  );
  decayQuantity(gaussian, gun.lifeRate, 1, PRIORS.rateStray ** 2 * share);
}

/** A new insert was fitted: no loss but its own tolerance, and a life with a rate of its own. */
export function fitInsert(pool: PumpPool, gunId: string): void {
  const gun = pool.guns[gunId];
  if (gun === undefined) return;
  resetQuantity(pool.gaussian, gun.wear, 0, PRIORS.newWear ** 2);
  resetQuantity(pool.gaussian, gun.lifeRate, 0, PRIORS.lifeRate ** 2);
}

/**
 * How well a gun pumps against the others with the same powder: ln of output for the same air, whatever it is put down to.
 * What is believed of level, wear and leak may be shared out anew at a change; their sum is what the readings tell.
 *
 * @returns null when the gun is unknown to the pool
 */
export function standingOf(pool: PumpPool, gunId: string): { standing: number; loss: number } | null {
  const gun = pool.guns[gunId];
  if (gun === undefined) return null;
  const { mean } = pool.gaussian;
  const loss = mean[gun.wear]!;
  return { standing: mean[gun.level]! + mean[gun.week]! - loss - mean[gun.leak]!, loss };
}

/** Another part was changed or refitted: the level may have moved a little, the wear stays. */
export function loosenLevel(pool: PumpPool, gunId: string, sd: number): void {
  const gun = pool.guns[gunId];
  if (gun !== undefined) decayQuantity(pool.gaussian, gun.level, 1, sd * sd);
}
