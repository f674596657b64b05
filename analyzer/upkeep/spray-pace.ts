import { afterWorking, type ShopTime, workingMs } from './shop-time.ts';
import { sprayedBetween, type Usage } from './usage.ts';

/** How much a gun sprays in a working hour of the shop, as of late. */
export interface SprayPace {
  /** Spray hours in an hour of a shift; 0 where the gun was not used. */
  readonly perWorkingHour: number;
  /** Powder in a spray hour, kg; null where it is not known. */
  readonly kilogramsPerSprayHour: number | null;
}

/** Source: own choice, because four weeks hold a shop's usual mix of work and are still of late. */
const LOOK_BACK_MS = 28 * 86_400_000;

/**
 * The pace of the last four weeks. Spraying outside the shifts counts too: what wears is what is sprayed.
 *
 * @param now epoch ms
 */
export function sprayPace(usage: Usage, shop: ShopTime, now: number): SprayPace {
  const first = usage.starts[0] ?? now;
  const from = Math.max(now - LOOK_BACK_MS, first);
  const { sprayHours, kilograms } = sprayedBetween(usage, from, now);
  const worked = workingMs(shop, from, now) / 3_600_000;
  return {
    perWorkingHour: worked > 0 ? sprayHours / worked : 0,
    kilogramsPerSprayHour: kilograms === null || sprayHours === 0 ? null : kilograms / sprayHours,
  };
}

/** When a gun will have sprayed so many hours more, epoch ms; null where it is not used or the calendar ends before. */
export function whenSprayed(sprayHours: number, pace: SprayPace, shop: ShopTime, now: number): number | null {
  if (sprayHours <= 0) return now;
  if (pace.perWorkingHour <= 0) return null;
  return afterWorking(shop, now, (sprayHours / pace.perWorkingHour) * 3_600_000);
}
