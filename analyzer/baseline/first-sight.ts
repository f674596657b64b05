import { type GunMemory, hoursKnown } from './gun-memory.ts';
import type { PumpPool } from './pump-pool.ts';

/** ln of output that the present insert has lost since it was put in, or since the first reading where that is not known. */
export function wornSince({ gaussian: { mean }, guns, rate }: PumpPool, { id, insert }: GunMemory): number {
  const { gunRate, lifeRate } = guns[id]!;
  return insert.clock * (mean[rate]! + mean[gunRate]! + mean[lifeRate]!);
}

/** Level of a gun whose insert has been in since before the first reading, as it was then: its own, less what the insert had lost by then. */
export function levelAtFirstSight(pool: PumpPool, memory: GunMemory): number {
  const { mean } = pool.gaussian;
  const { level, wear } = pool.guns[memory.id]!;
  return mean[level]! - mean[wear]! + wornSince(pool, memory);
}

/** Spray hours from which a level at first sight is worth keeping. Source: own choice, half a shift. */
const KEPT_HOURS = 2;

/** Before an insert of unknown age makes room for another: keeps how the gun was first seen with it, so that the change can tell how old it was. */
export function keepFirstSight(pool: PumpPool, memory: GunMemory): void {
  if (memory.insert.since !== null || memory.runs === 0) return;
  const told = pool.guns[memory.id] !== undefined && hoursKnown(memory) >= KEPT_HOURS;
  memory.met = { level: told ? pool.gaussian.mean[pool.level]! + levelAtFirstSight(pool, memory) : null };
}
