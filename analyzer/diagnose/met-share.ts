import type { ExcessAir } from '../baseline/excess-air.ts';
import { levelAtFirstSight, usedByCalendar, wornSince } from '../baseline/first-sight.ts';
import { linearForm } from '../baseline/gaussian-state.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import type { PumpPool } from '../baseline/pump-pool.ts';
import type { LimitBelief } from '../forecast/change-limit.ts';
import { type MetInsert, USUAL_LIMIT } from '../forecast/hall-ages.ts';
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
    levelAtFirstSight(pool, memory),
    others,
    {
      worn: worn.mean,
      wornSd: Math.sqrt(worn.variance),
      atLimit: excess.elasticity * Math.log1p(Math.exp(limit.log)),
      limitSd: limit.sd,
      used: usedByCalendar(memory.insert),
    },
    at,
  );
}

function firstSight(pool: PumpPool, memory: GunMemory): FirstSight {
  const { mean } = pool.gaussian;
  const gun = pool.guns[memory.id]!;
  if (memory.insert.since === null)
    return {
      level: levelAtFirstSight(pool, memory),
      insert: { kind: 'in', worn: wornSince(pool, memory) / USUAL_LIMIT },
    };
  const level = mean[gun.level]!;
  return { level, insert: metAt(memory, mean[pool.level]! + level) };
}

/** What is known of the insert that was there at first sight, now that another is in. @param level of the gun with a new insert */
function metAt({ met }: GunMemory, level: number): MetInsert {
  if (met === null) return { kind: 'new' };
  return { kind: 'changed', lost: met.level === null ? null : level - met.level };
}
