import type { GunMemory } from '../baseline/gun-memory.ts';
import type { PumpPool } from '../baseline/pump-pool.ts';
import { type LifeBelief, lifeBelief, type PastLife } from '../forecast/past-lives.ts';

interface Known {
  readonly lives: readonly (readonly PastLife[])[];
  readonly lengths: readonly number[];
  readonly whole: LifeBelief | null;
}

/** What was worked out last, by the gun's own list: lists only grow, some times a year, and judges ask at every look. */
const known = new WeakMap<readonly PastLife[], Known>();

/** What past lives of all guns of a pool say of the whole life of an insert of one of them. */
export function wholeLife(pool: PumpPool, guns: Readonly<Record<string, GunMemory>>, gunId: string): LifeBelief | null {
  const own = guns[gunId]!.lives;
  const before = known.get(own);
  if (before !== undefined && holds(before, pool, guns)) return before.whole;
  const lives = new Map(Object.keys(pool.guns).map((id) => [id, guns[id]!.lives]));
  const all = [...lives.values()];
  const whole = lifeBelief(lives, gunId);
  known.set(own, { lives: all, lengths: all.map(({ length }) => length), whole });
  return whole;
}

function holds({ lives, lengths }: Known, pool: PumpPool, guns: Readonly<Record<string, GunMemory>>): boolean {
  let place = 0;
  for (const id in pool.guns) {
    if (lives[place] !== guns[id]!.lives || lengths[place] !== lives[place]!.length) return false;
    place++;
  }
  return place === lives.length;
}
