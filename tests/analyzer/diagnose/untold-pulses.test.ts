import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { judgeStep } from '../../../analyzer/diagnose/judge-step.ts';
import { noticeSteps } from '../../../analyzer/diagnose/notice-step.ts';
import { START, stepBench } from './step-bench.ts';

const HOUR = 3_600_000;
const LEAK = 1.9 * Math.log1p(0.1);
const blockAt = (hour: number): Block =>
  ({ powder: 'p-1', start: START + hour * HOUR, end: START + (hour + 0.25) * HOUR, output: 5 }) as unknown as Block;

/** A calm gun without a case, whose ripple (ln) then is another one, so many spray hours later. The charts are never fed. */
function pulsing(rise: number, hours = 0.3) {
  const bench = stepBench();
  bench.memory.step = null;
  noticeSteps(bench.look(0, 0, 0.02, 0.003), blockAt(0), true);
  noticeSteps(bench.look(hours, 0, rise, 0.003), blockAt(1), true);
  return bench;
}

describe('ripple that rose while what is believed of it was open', () => {
  it('is a loss to look at from when it was calm last, though no chart told', () => {
    // exp(0.8): 2.2 times the ripple, 13 deviations of 0.06.
    expect(pulsing(0.8).memory.step).toMatchObject({ upward: false, onset: START + 0.25 * HOUR });
  });

  it('is none within its swing, nor where it crept up over hours', () => {
    expect(pulsing(0.3).memory.step).toBeNull();
    expect(pulsing(0.8, 3).memory.step).toBeNull();
  });

  it('is none once a case has looked at it and let it go', () => {
    const { memory, look } = pulsing(0.8);
    for (let hour = 2; hour < 9; hour++) noticeSteps(look(0.6, 0, 0.8, 0.003), blockAt(hour), true);
    memory.step = null;
    noticeSteps(look(0.3, 0, 0.8, 0.003), blockAt(9), true);
    noticeSteps(look(0.3, 0, 0.82, 0.003), blockAt(10), true);
    expect(memory.step).toBeNull();
  });
});

describe('a leak behind a gain', () => {
  it('is told by what is lost since: the gain is the gun’s new level', () => {
    const bench = stepBench({ upward: true });
    noticeSteps(bench.look(0, -0.15, 0.02), blockAt(0), true);
    const leaking = bench.look(0.3, -0.15, 0.8);
    noticeSteps(leaking, blockAt(1), true);
    expect(bench.memory.step).toMatchObject({ upward: false });
    const { gaussian, guns } = leaking.pool;
    const gun = guns['gun-01']!;
    expect(Math.abs(gaussian.mean[gun.leak]!)).toBeLessThan(0.02);
    for (let look = 0; look < 4; look++) judgeStep(bench.look(0.3, LEAK, 0.8));
    expect(bench.book.open).toMatchObject([{ cause: 'pump-seals' }]);
  });
});
