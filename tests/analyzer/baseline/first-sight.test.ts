import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import {
  keepFirstSight,
  levelAtFirstSight,
  meetInsert,
  noteSilence,
  usedByCalendar,
  wearAtFirstSight,
  wornSince,
} from '../../../analyzer/baseline/first-sight.ts';
import { type GunMemory, newGunMemory, newInsert } from '../../../analyzer/baseline/gun-memory.ts';
import { emptyPumpPool, ensureGun, type PumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';

const BLOCK = { gun: 'gun-01', start: 0, end: 1, output: 5, flow: 0.7 } as Block;

/** A gun whose insert of unknown age has let 1.5 of the wear clock through. */
function met(): { pool: PumpPool; memory: GunMemory } {
  const pool = emptyPumpPool();
  const gun = ensureGun(pool, BLOCK, 'measured', PRIORS.firstWear);
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

describe('an insert that was logged as new before the first reading', () => {
  const DAY = 86_400_000;
  const loggedBefore = (days: number): GunMemory => {
    const memory = newGunMemory('gun-01', 'value');
    memory.insert = newInsert(1000 * DAY, true, 0);
    meetInsert(memory, (1000 + days) * DAY);
    return memory;
  };

  it('is new on the same day', () => {
    const { insert } = loggedBefore(0.8);
    expect(insert).toMatchObject({ since: 1000 * DAY, logged: true });
    expect(usedByCalendar(insert)).toBeNull();
    expect(wearAtFirstSight({ insert })).toEqual({ mean: 0, sd: PRIORS.newWear });
  });

  it('has used the more the longer ago that was: nobody has seen what it sprayed', () => {
    const daysOn = (days: number) => wearAtFirstSight(loggedBefore(days));
    expect(loggedBefore(20).insert).toMatchObject({ since: null, logged: false });
    // Handbook section 2: an insert lasts about a month, so that after one its whole life is the likeliest.
    expect(usedByCalendar(loggedBefore(30).insert)?.log).toBeCloseTo(0, 9);
    expect(usedByCalendar(loggedBefore(10).insert)?.log).toBeCloseTo(-Math.log(3), 9);
    expect(daysOn(3).mean).toBeLessThan(0.04);
    expect(daysOn(3).mean).toBeLessThan(daysOn(10).mean);
    // Not more than of one of which nothing is known, give or take its deviation.
    expect(daysOn(300).mean).toBeCloseTo(PRIORS.firstWear.mean + PRIORS.firstWear.sd, 9);
    expect(daysOn(300).sd).toBe(PRIORS.firstWear.sd);
  });

  it('is new where its gun was read from then on, though it sprayed days later', () => {
    const memory = newGunMemory('gun-01', 'value');
    memory.insert = newInsert(1000 * DAY, true, 0);
    memory.firstReading = 1000.5 * DAY;
    meetInsert(memory, 1004 * DAY);
    expect(memory.insert).toMatchObject({ since: 1000 * DAY, logged: true });
    memory.firstReading = 1003 * DAY;
    meetInsert(memory, 1004 * DAY);
    expect(memory.insert).toMatchObject({ since: null, unseen: { ms: 3 * DAY } });
  });

  it('is not new after its station was silent for long, whatever a first reading said', () => {
    const heardOf = (silences: [number, number | null][]): GunMemory['insert'] => {
      const memory = newGunMemory('gun-01', 'value');
      memory.insert = newInsert(1000 * DAY, true, 0);
      memory.firstReading = 999.9 * DAY;
      for (const [from, until] of silences) {
        noteSilence(memory, from * DAY, (from + 0.1) * DAY);
        if (until !== null) noteSilence(memory, null, until * DAY);
      }
      meetInsert(memory, 1020 * DAY);
      return memory.insert;
    };
    // Half a day of silence, that before the change left out, is no time.
    const { silent, ...heard } = heardOf([[990, 1000.5]]);
    expect(silent).toBeUndefined();
    expect(heard).toMatchObject({ since: 1000 * DAY, logged: true });
    // By hand: from day 1001 to 1019; two silences of 3 and 4 days; one that lasts until the first block.
    expect(heardOf([[1001, 1019]]).unseen?.ms).toBeCloseTo(18 * DAY, 3);
    expect(
      heardOf([
        [1001, 1004],
        [1010, 1014],
      ]).unseen?.ms,
    ).toBeCloseTo(7 * DAY, 3);
    expect(heardOf([[1001, null]]).unseen?.ms).toBeCloseTo(19 * DAY, 3);
  });

  it('is of unknown age where nobody logged it', () => {
    const memory = newGunMemory('gun-01', 'value');
    meetInsert(memory, DAY);
    expect(memory.insert.unseen).toBeUndefined();
    expect(wearAtFirstSight(memory)).toBe(PRIORS.firstWear);
  });
});
