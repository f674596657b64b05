import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { gatherGain, keepCalm, watchGain } from '../../../analyzer/baseline/gain-watch.ts';
import { resetQuantity, varianceOf } from '../../../analyzer/baseline/gaussian-state.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import type { StepCase } from '../../../analyzer/baseline/step-case.ts';
import { raise } from '../../../analyzer/diagnose/finding-book.ts';
import { newInsertOdds } from '../../../analyzer/diagnose/judge-gain.ts';
import { judgeStep } from '../../../analyzer/diagnose/judge-step.ts';
import { START, stepBench } from './step-bench.ts';

const HOUR = 3_600_000;

interface Gain {
  wear: number;
  wearSd: number;
  gain: number;
  leak?: number;
  hours?: number;
  output?: 'measured' | 'setpoint';
  step?: Partial<StepCase> | null;
}

/** A gain after a loss as believed (ln of output), and what is believed once it was gathered for so long. */
function afterGain({ wear, wearSd, gain, leak = 0, hours = 2.2, output = 'measured', step = {} }: Gain) {
  const made = stepBench({ upward: true, ...step });
  const bench = made.look(hours, -gain / 2);
  if (step === null) made.memory.step = null;
  const gun = bench.pool.guns['gun-01']!;
  resetQuantity(bench.pool.gaussian, gun.wear, wear, wearSd ** 2);
  const before = { mean: bench.pool.gaussian.mean.slice(), lost: wear + leak, lostSd: wearSd, leak };
  gun.watch = { ...before, onset: START, atHours: 20, gain, hours };
  const own = { ...bench, gun: { ...bench.gun, output } };
  judgeStep(own);
  return {
    ...{ made, bench: own, gun, insert: made.memory.insert, step: made.memory.step, returns: made.memory.returns },
    wear: bench.pool.gaussian.mean[gun.wear]!,
    sd: Math.sqrt(varianceOf(bench.pool.gaussian, gun.wear)),
  };
}

describe('a gain that stays', () => {
  it('is a new insert where it gives back as much as the loss may well have been, though the belief took half of it for something else', () => {
    const { insert, wear, sd, returns } = afterGain({ wear: 0.26, wearSd: 0.075, gain: 0.17 });
    expect(insert).toMatchObject({ since: START, logged: false, kilograms: 0, atHours: 20 });
    expect(wear).toBeCloseTo(0, 6);
    expect(sd).toBeLessThan(0.05);
    expect(returns).toMatchObject([{ part: 'pump-insert', time: START, counted: true }]);
  });

  it('is none where it gives back a third of a loss that is well known, or the insert had hardly worn', () => {
    expect(afterGain({ wear: 0.3, wearSd: 0.03, gain: 0.1 }).insert.since).toBeNull();
    expect(afterGain({ wear: 0.04, wearSd: 0.02, gain: 0.17 }).insert.since).toBeNull();
  });

  it('needs more with another powder', () => {
    const near = { wear: 0.2, wearSd: 0.06, gain: 0.17 };
    expect(afterGain(near).insert.since).toBe(START);
    const made = stepBench({ upward: true });
    const bench = made.look(2.2, -0.1);
    const gun = bench.pool.guns['gun-01']!;
    made.memory.powderSince = START + 0.5 * HOUR;
    const before = { mean: bench.pool.gaussian.mean.slice(), lost: 0.2, lostSd: 0.06, leak: 0 };
    gun.watch = { ...before, onset: START, atHours: 20, gain: 0.17, hours: 2.2 };
    judgeStep(bench);
    expect(made.memory.insert.since).toBeNull();
    expect(gun.watch).toBeNull();
  });

  it('is a leak that has healed where it gives back what the leak took', () => {
    expect(newInsertOdds({ gain: 0.15, lost: 0.3, lostSd: 0.03, leak: 0.15 }, 0.035)).toBeLessThan(0);
    expect(newInsertOdds({ gain: 0.3, lost: 0.3, lostSd: 0.03, leak: 0.15 }, 0.035)).toBeGreaterThan(Math.log(8));
  });

  it('is none where it is far beyond what was lost, however little that was known', () => {
    expect(afterGain({ wear: 0.07, wearSd: 0.073, gain: 0.53 }).insert.since).toBeNull();
    expect(newInsertOdds({ gain: 0.53, lost: 0.07, lostSd: 0.073, leak: 0 }, 0.035)).toBeLessThan(0);
  });

  it('is weighed once it was gathered for two spray hours, and the case waits for that', () => {
    const early = afterGain({ wear: 0.26, wearSd: 0.05, gain: 0.24, hours: 1.9 });
    expect(early.insert.since).toBeNull();
    expect(early.step).not.toBeNull();
  });

  it('is looked at for longer where a hand has to turn the air down first', () => {
    const small = { wear: 0.25, wearSd: 0.05, gain: 0.06, output: 'setpoint', step: null } as const;
    expect(afterGain({ ...small, hours: 3 }).gun.watch).not.toBeNull();
    expect(afterGain({ ...small, hours: 6.1 }).gun.watch).toBeNull();
    expect(afterGain({ ...small, gain: 0.25, hours: 3 }).insert.since).toBe(START);
  });

  it('waits while a leak is told of, which ends by itself', () => {
    const { made, bench, gun } = afterGain({ wear: 0.26, wearSd: 0.05, gain: 0.05, hours: 1 });
    made.memory.step = null;
    const { book, now, told } = bench;
    const about = { gun: 'gun-01', cause: 'pump-seals', subject: 'step', onset: START, now, sprayHours: 20 } as const;
    const candidates = [{ cause: 'pump-seals', probability: 0.9 }];
    const said = {
      category: 'maintenance-required',
      candidates,
      excessAir: 0.1,
      remaining: null,
      evidence: [],
    } as const;
    raise(book, about, said, told);
    Object.assign(gun.watch!, { hours: 2.2, gain: 0.25 });
    judgeStep(bench);
    expect(made.memory.insert.since).toBeNull();
    expect(gun.watch).not.toBeNull();
  });

  it.each([
    ['at that time', 0, true],
    ['eleven hours later', 11, true],
    ['a day later', 24, false],
    ['three days before, which shows again', -3 * 24, true],
    ['five days before', -5 * 24, false],
  ])('is none where people said that there was no such change %s', (_, hours, none) => {
    const { bench, gun, made } = afterGain({ wear: 0.26, wearSd: 0.05, gain: 0.25, hours: 1, step: null });
    gun.watch!.hours = 2.2;
    const dismissed = { gun: 'gun-01', part: 'pump-insert', time: gun.watch!.onset + hours * HOUR };
    judgeStep({ ...bench, dismissals: [dismissed] } as never);
    expect(made.memory.insert.since === null).toBe(none);
  });
});

describe('what a gain comes to', () => {
  /** A gun that gave so much (ln of g/min) in the given blocks, a quarter of an hour each. */
  const spray = (outputs: readonly number[], begin: (pool: ReturnType<typeof poolOf>) => void) => {
    const pool = poolOf();
    for (const [at, output] of outputs.entries()) {
      if (at === outputs.length / 2) begin(pool);
      const start = START + at * 0.5 * HOUR;
      const block = {
        ...{ gun: 'gun-01', powder: 'p-1', start, end: start + 0.25 * HOUR, runs: 20, minutes: 10, kilograms: 1.5 },
        ...{ flow: Math.log(2), output, outputVariance: 1e-4, supplementary: Number.NaN },
      } as unknown as Block;
      learnBlock(pool, block, 'measured', { mean: 0, sd: PRIORS.newWear });
    }
    return pool.guns['gun-01']!;
  };
  const poolOf = () => stepBench().look(0, 0).pool;

  it('is reckoned against what was believed before it, whatever the belief has made of it since', () => {
    const usual = new Array<number>(8).fill(Math.log(150));
    const more = new Array<number>(8).fill(Math.log(150) + 0.2);
    const gun = spray([...usual, ...more], (pool) => {
      keepCalm(pool, pool.guns['gun-01']!);
      watchGain(pool.guns['gun-01']!, START, 20);
    });
    expect(gun.watch!.hours).toBeCloseTo(8 / 6, 6);
    expect(gun.watch!.gain).toBeGreaterThan(0.17);
    expect(gun.watch!.gain).toBeLessThan(0.21);
  });

  it('is reckoned against that, too, once the gun has been calm again', () => {
    const pool = poolOf();
    const gun = pool.guns['gun-01']!;
    keepCalm(pool, gun);
    watchGain(gun, START, 20);
    const watched = structuredClone(gun.watch!);
    for (const wear of [0.1, 0.3]) {
      resetQuantity(pool.gaussian, gun.wear, wear, 0.01);
      keepCalm(pool, gun);
      expect(gun.calm).toMatchObject({ mean: pool.gaussian.mean, lost: wear + pool.gaussian.mean[gun.leak]! });
    }
    expect(gun.watch).toEqual(watched);
  });

  it('is nothing where nothing was begun, and goes on where it was', () => {
    const gun = spray(new Array<number>(4).fill(Math.log(150)), (pool) => {
      watchGain(pool.guns['gun-01']!, START, 20);
      gatherGain(pool, pool.guns['gun-01']!, [], [], 0, 1);
    });
    expect(gun.watch).toBeNull();
    gun.calm = { mean: new Float64Array(0), lost: 0.2, lostSd: 0.05, leak: 0 };
    watchGain(gun, START, 20);
    gun.calm = { mean: new Float64Array(0), lost: 0.1, lostSd: 0.05, leak: 0 };
    watchGain(gun, START + HOUR, 21);
    expect(gun.watch).toMatchObject({ lost: 0.2, onset: START });
  });
});
