import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { keepCalm, takeBackGain, watchGain } from '../../../analyzer/baseline/gain-watch.ts';
import { resetQuantity, restartTrace } from '../../../analyzer/baseline/gaussian-state.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { isLikelierInsert } from '../../../analyzer/baseline/lot-or-insert.ts';
import { emptyPumpPool, type PumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { stepBench } from '../diagnose/step-bench.ts';

const START = Date.UTC(2026, 2, 2, 6);
const QUARTER = 900_000;
const NIGHT = 16 * 3_600_000;

/** A gun whose chart of gains tells of so much (ln of output), and that had lost so much before. */
function gained(gain: number, lost: number, lostSd = 0.03, setpoint = false) {
  const { pool } = stepBench().look(0, 0);
  const gun = pool.guns['gun-01']!;
  gun.setpoint = setpoint;
  gun.calm = { mean: new Float64Array(pool.gaussian.mean), lost, lostSd, leak: 0 };
  const information = 1 / 0.03 ** 2;
  Object.assign(pool.gaussian.traces[gun.gain]!, { active: true, information, score: -gain * information });
  return isLikelierInsert(pool.gaussian, gun);
}

describe('a gain that one gun alone tells of', () => {
  it('is its insert where it is what was lost, and more than lots differ by', () => {
    // ln of the normal densities, as any textbook has them: -0.5·(0.02² / 0.0034) - 0.5·ln 0.0034 = 2.78 against -0.5·(0.22² / 0.0081) - 0.5·ln 0.0081 = -0.58, less ln 10 = 2.30.
    expect(gained(0.22, 0.2)).toBe(true);
    expect(gained(0.22, 0.05)).toBe(false);
  });

  it('is another lot where both would do: an insert that nobody logs is rarer', () => {
    // 2.84 - 2.30 = 0.54 against -0.5·(0.1² / 0.0081) - 0.5·ln 0.0081 = 1.79.
    expect(gained(0.1, 0.1)).toBe(false);
  });

  it('is no insert where it is a loss, and less surely one where a hand answers late', () => {
    expect(gained(-0.2, 0.2)).toBe(false);
    // 0.67 against 0.41; where a hand is in it the first is 0.35.
    expect(gained(0.18, 0.18, 0.01)).toBe(true);
    expect(gained(0.18, 0.18, 0.01, true)).toBe(false);
  });
});

/** Two guns with one powder; after a night the first gives so much more, whose insert had lost `wear`. */
function afterNight(wear: number, gain: number): { pool: PumpPool; lot: number } {
  const pool = emptyPumpPool();
  const spray = (id: string, end: number, more: number) =>
    learnBlock(
      pool,
      {
        ...{ gun: id, powder: 'p-1', start: end - QUARTER, end, runs: 20, minutes: 8, kilograms: 1.2 },
        ...{ flow: Math.log(2), output: Math.log(150) + more, outputVariance: 1e-4, supplementary: Number.NaN },
      } as unknown as Block,
      'measured',
      { mean: 0, sd: PRIORS.newWear },
    );
  for (let round = 0; round < 40; round++)
    for (const id of ['gun-01', 'gun-02']) spray(id, START + round * QUARTER + (id === 'gun-01' ? 0 : 60_000), 0);
  const gun = pool.guns['gun-01']!;
  resetQuantity(pool.gaussian, gun.wear, wear, 0.02 ** 2);
  pool.gaussian.mean[gun.level] = pool.gaussian.mean[gun.level]! + wear;
  restartTrace(pool.gaussian.traces[gun.gain]!, true);
  keepCalm(pool, gun);
  const morning = START + 40 * QUARTER + NIGHT;
  for (let round = 0; round < 6; round++) spray('gun-01', morning + round * QUARTER, gain);
  return { pool, lot: pool.gaussian.mean[pool.powders['p-1']!.lot]! };
}

describe('a campaign that begins with a gain of one gun', () => {
  it('brings another lot where its insert was sound, and none beyond what lots are where it was worn as much', () => {
    expect(afterNight(0, 0.2).pool.powders['p-1']!.lotTaken).toBeGreaterThan(0);
    expect(afterNight(0.2, 0.2).pool.powders['p-1']!.lotTaken).toBe(0);
    expect(afterNight(0.2, 0.2).lot).toBeLessThan(0.75 * afterNight(0, 0.2).lot);
  });

  it('leaves level, week and lot where they were once the insert is known to be new', () => {
    const { pool } = afterNight(0.2, 0);
    const gun = pool.guns['gun-01']!;
    const { lot } = pool.powders['p-1']!;
    keepCalm(pool, gun);
    watchGain(gun, START, 20);
    const before = Array.from(pool.gaussian.mean);
    const moved = [gun.level, gun.week, gun.shift, gun.powders['p-1']!, lot];
    for (const index of [...moved, gun.wear, pool.site]) pool.gaussian.mean[index] = before[index]! + 0.1;
    takeBackGain(pool, gun, gun.watch!);
    for (const index of moved) expect(pool.gaussian.mean[index]).toBe(before[index]);
    for (const index of [gun.wear, pool.site]) expect(pool.gaussian.mean[index]).toBe(before[index]! + 0.1);
  });

  it('leaves a lot that others told of as it is believed', () => {
    const { pool } = afterNight(0.2, 0);
    const gun = pool.guns['gun-01']!;
    const powder = pool.powders['p-1']!;
    keepCalm(pool, gun);
    watchGain(gun, START, 20);
    powder.lotSince = START + 1;
    pool.gaussian.mean[powder.lot] = 0.07;
    takeBackGain(pool, gun, gun.watch!);
    expect(pool.gaussian.mean[powder.lot]).toBe(0.07);
  });
});
