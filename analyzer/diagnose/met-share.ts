import type { ExcessAir } from '../baseline/excess-air.ts';
import { linearForm } from '../baseline/gaussian-state.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import type { PumpPool } from '../baseline/pump-pool.ts';
import type { LimitBelief } from '../forecast/change-limit.ts';
import type { ShareBelief } from '../forecast/limit-share.ts';
import { type FirstSight, metShare } from '../forecast/met-insert.ts';
import type { Bench } from './site-view.ts';

/** How much of its limit the insert of a gun has used that was in it at the first reading. */
export function shareSinceMet(
  { memory, pool, guns, tunables }: Bench,
  excess: ExcessAir,
  limit: LimitBelief,
  at: readonly [number, number],
): ShareBelief {
  const gun = pool.guns[memory.id]!;
  const others: FirstSight[] = [];
  // Where the output is computed from the air, the level is the recipe's that is not read.
  if (!gun.unread)
    for (const id in pool.guns)
      if (id !== memory.id && !pool.guns[id]!.unread && guns[id]!.runs >= tunables.learningRuns)
        others.push(firstSight(pool, guns[id]!));
  const { clock } = memory.insert;
  const worn = linearForm(pool.gaussian, [pool.rate, gun.gunRate, gun.lifeRate], [clock, clock, clock]);
  return metShare(
    firstSight(pool, memory),
    others,
    {
      worn: worn.mean,
      wornSd: Math.sqrt(worn.variance),
      atLimit: excess.elasticity * Math.log1p(Math.exp(limit.log)),
      limitSd: limit.sd,
    },
    at,
  );
}

/** The gun's level, less what its insert had lost when it was first seen where that is not known. */
function firstSight({ gaussian, guns, rate }: PumpPool, { id, insert }: GunMemory): FirstSight {
  const { mean } = gaussian;
  const { level, wear, gunRate, lifeRate } = guns[id]!;
  if (insert.since !== null) return { level: mean[level]!, fresh: true };
  const since = insert.clock * (mean[rate]! + mean[gunRate]! + mean[lifeRate]!);
  return { level: mean[level]! - mean[wear]! + since, fresh: false };
}
