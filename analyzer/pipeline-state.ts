import { type GunMemory, newGunMemory } from './baseline/gun-memory.ts';
import { emptyPumpPool, type PumpPool } from './baseline/pump-pool.ts';
import { emptyBook, type FindingBook } from './diagnose/finding-book.ts';
import type { SiteContext } from './site.ts';

/** Everything stage two remembers of a site. Plain data that survives structured cloning. */
export interface PipelineState {
  /** Everything up to this reading time is in. */
  time: number;
  guns: Record<string, GunMemory>;
  pools: PumpPool[];
  poolOf: Record<string, number>;
  book: FindingBook;
  /** Findings that were cleared before this are kept elsewhere, epoch ms. */
  settledBefore: number;
  /** Where several settings are tried together: what each of them alone decides, in their order. */
  apart?: FindingBook[];
}

/** Guns that teach each other in one joint belief. Source: own choice, its cost grows with the square. */
const POOL_GUNS = 10;
/** Key of a pool of one; no air line begins so. */
const COUPLED = '\u0000coupled';

/** A state that has seen nothing: guns in pools of their air line, in the plant's order. */
export function initialState(context: SiteContext): PipelineState {
  const state: PipelineState = { time: 0, guns: {}, pools: [], poolOf: {}, book: emptyBook(), settledBefore: 0 };
  const filling = new Map<string, { pool: number; guns: number }>();
  for (const gun of context.plant.guns) {
    state.guns[gun.id] = newGunMemory(gun.id, gun.output === 'coupled' ? 'coupled' : 'value');
    // A coupled output has a curve of its own, and nothing to teach the others.
    const line = gun.output === 'coupled' ? `${COUPLED} ${gun.id}` : (gun.supply ?? '');
    let place = filling.get(line);
    if (place === undefined || place.guns >= POOL_GUNS) {
      place = { pool: state.pools.length, guns: 0 };
      state.pools.push(emptyPumpPool());
      filling.set(line, place);
    }
    place.guns++;
    state.poolOf[gun.id] = place.pool;
  }
  return state;
}
