import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { beginStart } from '../../../analyzer/baseline/step-starts.ts';
import { stepLimit } from '../../../analyzer/detect/step-limits.ts';
import { judgeStep } from '../../../analyzer/diagnose/judge-step.ts';
import { noticeSteps } from '../../../analyzer/diagnose/notice-step.ts';
import { START, stepBench } from './step-bench.ts';

const HOUR = 3_600_000;
const LEAK = 1.9 * Math.log1p(0.1);
const FULL = {
  ...{ gun: 'gun-01', powder: 'p-1', runs: 20, minutes: 10, kilograms: 1.5, flow: Math.log(2), outputVariance: 1e-4 },
  supplementary: Number.NaN,
};
const blockOf = (powder: string, start = START + HOUR): Block =>
  ({ powder, start, end: start + HOUR / 4, output: 5 }) as unknown as Block;

describe('a step that guns turn out to share', () => {
  it('takes back what was raised on a part just before, and forgets the case', () => {
    const bench = stepBench({}, {}, false);
    const looked = bench.look(1.5, LEAK);
    judgeStep(looked);
    expect(bench.book.open).toHaveLength(1);
    looked.pool.common.taken = START + 2 * HOUR;
    noticeSteps(looked, blockOf('p-1'), true);
    expect(bench.memory.step).toBeNull();
    expect(bench.book.open).toEqual([]);
    expect(bench.book.closed[0]!.evidence[0]).toBe('several guns lost the same at the same time: no part');
  });

  it('leaves what was there long before', () => {
    const bench = stepBench({ noticed: START - 24 * HOUR }, {}, false);
    const looked = bench.look(1.5, LEAK);
    judgeStep(looked);
    looked.pool.common.taken = START + 2 * HOUR;
    noticeSteps(looked, blockOf('p-1'), true);
    expect(bench.book.open).toHaveLength(1);
  });

  it('leaves a leak that pulses: that is the gun’s own', () => {
    const bench = stepBench();
    const looked = bench.look(0.7, LEAK, 1);
    judgeStep(looked);
    looked.pool.common.taken = START + 2 * HOUR;
    noticeSteps(looked, blockOf('p-1'), true);
    expect(bench.book.open).toMatchObject([{ cause: 'pump-seals' }]);
  });
});

describe('ripple that rises once more beside a leak that was told', () => {
  it('is a second leak also where what is believed of ripple had followed it before the chart alarmed', () => {
    const bench = stepBench();
    judgeStep(bench.look(0.7, LEAK, 0.8));
    noticeSteps(bench.look(0.1, LEAK, 0.8), blockOf('p-1'), true);
    bench.memory.steps.ripple.up = stepLimit(0.3) + 1;
    noticeSteps(bench.look(0.1, LEAK, 1.7), blockOf('p-1', START + 2 * HOUR), true);
    for (let look = 0; look < 4; look++) judgeStep(bench.look(0.2, LEAK, 1.7));
    expect(bench.book.open.map(({ subject }) => subject).sort()).toEqual(['further-leak', 'step']);
  });
});

describe('a loss that is noticed beside a leak that was told', () => {
  const beside = (ripple: number) => {
    const bench = stepBench();
    judgeStep(bench.look(0.7, LEAK, 0.8));
    bench.memory.steps.output.down = stepLimit(0.3) + 1;
    noticeSteps(bench.look(0.1, LEAK, 0.8), blockOf('p-1'), true);
    for (let look = 0; look < 4; look++) judgeStep(bench.look(0.45, 2 * LEAK, ripple));
    return { open: bench.book.open, further: bench.memory.step!.further };
  };

  it('is a second leak when ripple rose with it, though its own chart had not told yet', () => {
    const { open } = beside(1.7);
    expect(open).toHaveLength(2);
    expect(open[1]!.evidence[0]).toContain('pulses once more');
  });

  it('is none when ripple stays as it was', () => {
    const { open, further } = beside(0.82);
    expect(open).toHaveLength(1);
    expect(further).toBeNull();
  });
});

describe('a case', () => {
  it('counts blocks of other powders that give as little, and none of its own', () => {
    const bench = stepBench();
    const looked = bench.look(0.5, LEAK);
    noticeSteps(looked, blockOf('p-1'), true);
    noticeSteps(looked, blockOf('p-2'), true);
    noticeSteps(looked, blockOf('p-3'), true);
    expect(bench.memory.step!.elsewhere).toBe(2);
  });

  it('began with the first of the blocks that filled the chart of ripple', () => {
    const bench = stepBench();
    bench.memory.step = null;
    const looked = bench.look(0, 0);
    for (let at = 0; at < 5; at++) noticeSteps(looked, blockOf('p-1', START + at * HOUR), true);
    bench.memory.steps.ripple.up = stepLimit(0.3) + 1;
    bench.memory.steps.ripple.upAge = 3;
    noticeSteps(looked, blockOf('p-1', START + 5 * HOUR), true);
    expect(bench.memory.step).toMatchObject({ onset: START + 3 * HOUR, upward: false });
  });

  /** A gun without a case whose forty blocks give so much less (ln) from one of them on. */
  const losing = (from: number, loss: number) => {
    const bench = stepBench({}, {}, false);
    bench.memory.step = null;
    const { pool } = bench.look(0, 0, 0, 0.003);
    for (let at = 0; at < 40; at++) {
      const end = START + at * 0.3 * HOUR;
      const noise = 0.01 * (((at * 7) % 5) - 2) - (at >= from ? loss : 0);
      const block = { ...FULL, start: end - 0.3 * HOUR, end, output: Math.log(150) + noise } as unknown as Block;
      learnBlock(pool, block, 'measured', { mean: 0, sd: PRIORS.newWear });
      beginStart(pool.gaussian, pool.guns['gun-01']!.losses, end);
    }
    return { bench, pool };
  };

  it('began after the block behind which the output speaks for a loss most', () => {
    const { bench, pool } = losing(36, 0.14);
    // The sums of the charts say nothing here: they are not fed.
    noticeSteps(bench.look(0, 0, 0, 0.003), blockOf('p-1', START + 12 * HOUR), true);
    expect(bench.memory.step).toMatchObject({ onset: START + 35 * 0.3 * HOUR, upward: false });
    const { gaussian, guns } = pool;
    expect(gaussian.mean[guns['gun-01']!.leak]).toBeGreaterThan(0.08);
    expect(gaussian.mean[guns['gun-01']!.leak]).toBeLessThan(0.17);
  });

  it('is opened sooner on a gun whose blocks spread by less than was believed', () => {
    const opened = (unrest: number): boolean => {
      const { bench, pool } = losing(37, 0.075);
      pool.guns['gun-01']!.unrest = unrest;
      noticeSteps(bench.look(0, 0, 0, 0.003), blockOf('p-1', START + 12 * HOUR), true);
      return bench.memory.step !== null;
    };
    expect([0.2, 0.5, 1, 2].map(opened)).toEqual([true, true, false, false]);
  });

  it('is not opened while the gun is still being learnt', () => {
    const bench = stepBench();
    bench.memory.step = null;
    bench.memory.steps.output.down = stepLimit(0.3) + 1;
    noticeSteps(bench.look(0, 0), blockOf('p-1'), false);
    expect(bench.memory.step).toBeNull();
  });
});
