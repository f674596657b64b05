import type { GunMemory } from '../baseline/gun-memory.ts';
import type { Bench } from './site-view.ts';

/** Chart value from which another gun counts as moved, lately. Source: own choice, near half of the limit. */
const MOVED = 4;
const LATELY_MS = 2 * 3_600_000;
/** Share of the guns that spray the same powder now, of which one at least has to have moved the same way. Source: own choice. */
const MOST = 0.5;

/** Guns of the same pool that spray the same powder now and moved the same way lately; none unless they are half of those. */
export function movedAlike({ memory, guns, pool, now }: Bench, upward: boolean): string[] {
  let active = 0;
  const moved: string[] = [];
  for (const id in pool.guns) {
    const other = guns[id] as GunMemory;
    if (id === memory.id || other.source === 'coupled') continue;
    if (other.powder !== memory.powder || now - other.lastEnd > LATELY_MS) continue;
    active++;
    const chart = upward ? other.steps.output.up : other.steps.output.down;
    const cased = other.step !== null && other.step.upward === upward && now - other.step.noticed < LATELY_MS;
    if (chart > MOVED || cased) moved.push(id);
  }
  return moved.length >= MOST * active ? moved : [];
}
