import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { keepFirstSight, levelAtFirstSight, wornSince } from '../../../analyzer/baseline/first-sight.ts';
import { type GunMemory, newGunMemory, newInsert } from '../../../analyzer/baseline/gun-memory.ts';
import { emptyPumpPool, ensureGun, type PumpPool } from '../../../analyzer/baseline/pump-pool.ts';

const BLOCK = { gun: 'gun-01', start: 0, end: 1, output: 5, flow: 0.7 } as Block;

/** A gun whose insert of unknown age has let 1.5 of the wear clock through. */
function met(): { pool: PumpPool; memory: GunMemory } {
  const pool = emptyPumpPool();
  const gun = ensureGun(pool, BLOCK, 'measured', false);
  const memory = newGunMemory('gun-01', 'value');
  Object.assign(memory, { runs: 500, sprayHours: 9 });
  memory.insert.clock = 1.5;
  const { mean } = pool.gaussian;
  mean[pool.rate] = 0.06;
  mean[gun.level] = 0.1;
  mean[gun.wear] = 0.2;
  return { pool, memory };
}

describe('how a gun was first seen with its insert', () => {
  it('is its level less what was lost by then: what is lost now, less what has worn since', () => {
    const { pool, memory } = met();
    // By hand: 1.5 times 0.06 has worn since, so 0.11 of the 0.2 was lost before.
    expect(wornSince(pool, memory)).toBeCloseTo(0.09, 9);
    expect(levelAtFirstSight(pool, memory)).toBeCloseTo(0.1 - 0.11, 9);
  });

  it('is kept when the insert makes room for another, over the level that all guns have in common', () => {
    const { pool, memory } = met();
    keepFirstSight(pool, memory);
    expect(memory.met?.level).toBeCloseTo(pool.gaussian.mean[pool.level]! - 0.01, 9);
  });

  it('tells nothing after too little was seen, and is no first sight where the insert was new or nothing was sprayed yet', () => {
    const early = met();
    early.memory.sprayHours = 1;
    keepFirstSight(early.pool, early.memory);
    expect(early.memory.met).toEqual({ level: null });
    const fresh = met();
    fresh.memory.insert = newInsert(0, true, 0);
    keepFirstSight(fresh.pool, fresh.memory);
    expect(fresh.memory.met).toBeNull();
    const unseen = met();
    unseen.memory.runs = 0;
    keepFirstSight(unseen.pool, unseen.memory);
    expect(unseen.memory.met).toBeNull();
  });
});
