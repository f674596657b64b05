import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { curesUnread } from '../../../analyzer/baseline/cures-unread.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { followUnread, leakIn, newUnreadPowder } from '../../../analyzer/baseline/unread-powder.ts';
import { judgeStep } from '../../../analyzer/diagnose/judge-step.ts';
import { noticeUnread } from '../../../analyzer/diagnose/unread-leak.ts';
import { START, type StepBench, stepBench } from './step-bench.ts';

const MINUTE = 60_000;

/** A gun with neither ripple nor powder read, whose two powders were seen for 30 spray hours, and which has lost so much since. */
function unreadBench(loss: number, settings: object = {}): StepBench {
  const bench = stepBench({}, settings, false);
  bench.memory.step = null;
  bench.memory.powder = '';
  bench.memory.unread = newUnreadPowder();
  const { pool } = bench.look(0, 0, 0, 0.003);
  const block = {
    ...{ gun: 'gun-01', powder: '', start: START, end: START + MINUTE, runs: 20, minutes: 10, kilograms: 1.5 },
    ...{ flow: Math.log(2), output: Math.log(150), outputVariance: 1e-4, supplementary: Number.NaN },
  } as unknown as Block;
  learnBlock(pool, block, 'measured', { mean: 0, sd: PRIORS.newWear });
  for (let at = 0; at < 270; at++) {
    const start = START - ((270 - at) * 20 - (at % 10 === 0 ? 9 : 0)) * MINUTE;
    const powder = at % 20 < 10 ? 0 : -0.1;
    const level = powder + 0.01 * (((at * 7) % 5) - 2) - (at >= 235 ? loss : 0);
    followUnread(
      bench.memory.unread,
      { start, end: START - (269 - at) * 20 * MINUTE, hours: 1 / 8, level, variance: 4e-4, output: 5 },
      false,
    );
  }
  return bench;
}

describe('a leak where neither ripple nor powder is read', () => {
  it('is told with both seals named, and how the loss was seen', () => {
    const bench = unreadBench(0.2);
    const looked = bench.look(0, 0, 0, 0.003);
    noticeUnread(looked);
    judgeStep(looked);
    expect(bench.book.open).toMatchObject([{ cause: 'pump-seals', subject: 'step' }]);
    const { candidates, evidence } = bench.told[0]!;
    expect(candidates.slice(0, 2).map(({ cause }) => cause)).toContain('gun-seals');
    expect(candidates.some(({ cause }) => cause === 'powder')).toBe(false);
    expect(evidence[0]).toMatch(
      /^output for the same air fell by 1[5-9] %, and stays below what this gun’s powders gave/,
    );
  });

  it('gives back to the insert what was taken for wear of it', () => {
    const bench = unreadBench(0.2);
    const looked = bench.look(0, 0, 0, 0.003);
    const { pool, memory } = looked;
    const gun = pool.guns['gun-01']!;
    const { mean } = pool.gaussian;
    mean[gun.wear] = 0.12;
    memory.unread!.wear = { held: 0.05, believed: 0.12 };
    const given = () => mean[gun.powders['']!]! - mean[gun.leak]! - mean[gun.wear]!;
    const before = given();
    noticeUnread(looked);
    expect(mean[gun.wear]).toBeCloseTo(0.05, 9);
    expect(given()).toBeCloseTo(before, 9);
  });

  it('is not told where it costs less than a visit is worth, nor where fewer false alarms are accepted than that needs', () => {
    for (const bench of [unreadBench(0.06), unreadBench(0.11, { falseAlarmsPerGunYear: 0.01 })]) {
      const looked = bench.look(0, 0, 0, 0.003);
      noticeUnread(looked);
      expect(bench.memory.step).toBeNull();
    }
  });

  it.each([
    ['a stretch of work in which a box runs low', 1.1, 'measured', false],
    ['what a hand may still answer', 2.4, 'setpoint', false],
    ['a leak', 2.6, 'setpoint', true],
    ['what took more than two long shifts to be believed', 16.1, 'measured', false],
  ] as const)('is looked for by how soon it is believed: %s', (_, hours, output, told) => {
    const bench = unreadBench(0.2);
    bench.memory.unread!.likelyHours = hours;
    const looked = bench.look(0, 0, 0, 0.003);
    noticeUnread({ ...looked, gun: { ...looked.gun, output } });
    expect(bench.memory.step !== null).toBe(told);
  });

  it('is not looked for before powders had time to come round', () => {
    const bench = unreadBench(0.2);
    bench.memory.sprayHours = 9;
    noticeUnread(bench.look(0, 0, 0, 0.003));
    expect(bench.memory.step).toBeNull();
  });

  it('is over once the seals were changed and the output is back, and leaves the gun’s level where it was', () => {
    const bench = unreadBench(0.2);
    const looked = bench.look(0, 0, 0, 0.003);
    const { pool, memory } = looked;
    const gun = pool.guns['gun-01']!;
    const levelOf = () => pool.gaussian.mean[gun.powders['']!]! - pool.gaussian.mean[gun.leak]!;
    const before = levelOf();
    noticeUnread(looked);
    judgeStep(looked);
    curesUnread(memory.unread!, 'seals');
    for (let at = 0; at < 8; at++) {
      const start = START + at * 20 * MINUTE;
      followUnread(
        memory.unread!,
        { start, end: start + 19 * MINUTE, hours: 1 / 8, level: 0, variance: 4e-4, output: 5 },
        false,
      );
    }
    expect(leakIn(memory.unread!).probability).toBeLessThan(0.1);
    memory.sprayHours += 1;
    judgeStep(looked);
    expect(bench.book.open).toEqual([]);
    expect(memory.step).toBeNull();
    expect(levelOf()).toBeCloseTo(before, 2);
  });
});
