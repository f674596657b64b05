import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutRuns, passTime } from '../../../analyzer/runs/cut-runs.ts';
import { startCut } from '../../../analyzer/runs/cut-state.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import { cut, GUN } from './cut.ts';
import { framesOf, type Instant, type PullPlan, sliceFrames, sprayed } from './station-frames.ts';

const MINUTE = 60_000;
const pulls = (count: number, plan: Partial<PullPlan> = {}): PullPlan[] =>
  Array.from({ length: count }, () => ({ sprayMs: 20_000, idleMs: 40_000, ...plan }));

/** Readings as of a meter that comes up with this time constant after each pull's start. */
function slowlyMetered(plans: readonly PullPlan[], constantMs: number): Instant[] {
  let begin = 0;
  let on = false;
  return sprayed(plans).map((instant) => {
    if (instant.trigger === 1 && !on) begin = instant.time;
    on = instant.trigger === 1;
    const output = on ? 150 * (1 - Math.exp(-(instant.time - begin + 500) / constantMs)) : 0;
    return { ...instant, 'powder/output': output };
  });
}

describe('runs from the trigger', () => {
  it('gives one run a pull with its steady levels and its length', () => {
    const { column } = cut(sprayed(pulls(30)));
    expect(column('start')).toHaveLength(30);
    for (const flow of column('conveyingFlow')) expect(flow).toBeCloseTo(2, 1);
    for (const pressure of column('conveyingPressure')) expect(pressure).toBeCloseTo(1.5, 1);
    for (const output of column('output')) expect(output / 150).toBeCloseTo(1, 1);
    for (const sprayMs of column('sprayMs')) expect(sprayMs).toBe(20_000);
  });

  it('leaves the surge out: a pull too short to settle has no samples and no levels', () => {
    const { column } = cut(sprayed(pulls(3, { sprayMs: 2500 })));
    expect(column('samples')).toEqual([0, 0, 0]);
    expect(column('conveyingFlow').every(Number.isNaN)).toBe(true);
    expect(column('sprayMs').every((length) => length >= 2500)).toBe(true);
  });

  it('finds the steady level in the two or three readings that 10 s sampling leaves of a pull', () => {
    const { column } = cut(sprayed(pulls(20, { sprayMs: 25_000 }), { sprayEveryMs: 10_000 }));
    expect(column('samples')).toEqual(Array(20).fill(2));
    for (const flow of column('conveyingFlow')) expect(Math.abs(flow - 2)).toBeLessThan(0.03);
    for (const output of column('output')) expect(Math.abs(output - 150)).toBeLessThan(6);
  });

  it('lets a trigger hold over missing cells, and no longer than 60 s of silence', () => {
    const instants = sprayed(pulls(1, { sprayMs: 60_000 })).map((instant) => ({ ...instant }));
    for (const [index, instant] of instants.entries()) if (index > 0 && index < 25) delete instant.trigger;
    expect(cut(instants).column('sprayMs')).toEqual([60_000]);
    const long = sprayed([{ sprayMs: 10 * MINUTE, idleMs: 40_000 }]);
    const first = long[0]!.time;
    const withHole = long.filter(({ time }) => time - first <= MINUTE || time - first >= 5 * MINUTE);
    const spray = cut(withHole).column('sprayMs');
    expect(spray.reduce((sum, length) => sum + length, 0)).toBe(MINUTE + 2000 + 5 * MINUTE);
  });

  it('ends a pull one usual interval after its last reading when the release was not seen', () => {
    const instants = sprayed(pulls(5));
    const release = instants.findIndex(({ trigger }, index) => trigger === 0 && index > 30);
    const { column } = cut(instants.filter((_, index) => index !== release));
    expect(column('sprayMs')).toEqual(Array(5).fill(20_000));
  });

  it('cuts a trigger that stays on into pieces of two minutes, without a surge in the later ones', () => {
    const { column } = cut(sprayed([{ sprayMs: 11 * MINUTE, idleMs: MINUTE }]));
    expect(column('sprayMs')).toEqual([...Array(5).fill(2 * MINUTE), MINUTE]);
    expect(column('samples').slice(1)).toEqual([60, 60, 60, 60, 30]);
  });

  it('begins a new run where the powder changes within a pull', () => {
    const instants = sprayed(pulls(1, { sprayMs: 60_000 })).map((instant, index) => ({
      ...instant,
      powder: index < 15 ? 'p-1' : 'p-2',
    }));
    const { column, runs } = cut(instants);
    expect(column('powder').map((index) => runs.powder(index))).toEqual(['p-1', 'p-2']);
    expect(column('sprayMs')).toEqual([30_000, 30_000]);
  });

  it('begins a new run where a set output changes, and holds the set value over absent cells', () => {
    const instants = sprayed(pulls(1, { sprayMs: 60_000 })).map((instant, index): Instant => {
      const { 'powder/output': _measured, ...rest } = instant;
      return index === 0 ? { ...rest, 'powder/output': 150 } : index === 20 ? { ...rest, 'powder/output': 180 } : rest;
    });
    const { column } = cut(instants, { ...GUN, outputMeasured: false, outputSet: true });
    expect(column('output')).toEqual([150, 180]);
    expect(column('outputSpread')).toEqual([0, 0]);
  });

  it('takes no output of a slow meter before it has come up, from the first pull on', () => {
    const plans = Array.from(
      { length: 120 },
      (_, index) => pulls(1, { sprayMs: index % 3 === 0 ? 40_000 : 15_000 })[0]!,
    );
    const { column } = cut(slowlyMetered(plans, 8000));
    const read = column('output').filter(Number.isFinite);
    const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
    expect(read.length).toBeGreaterThan(30);
    expect(Math.min(...read)).toBeGreaterThan(0.85 * 150);
    expect(mean(read.slice(0, 10)) / mean(read.slice(-10))).toBeCloseTo(1, 1.5);
  });

  it('takes the output of pulls that are never long as it is, after some hundred of them', () => {
    const { column } = cut(slowlyMetered(pulls(420, { sprayMs: 12_000 }), 3000));
    const outputs = column('output');
    expect(outputs.slice(0, 390).some(Number.isFinite)).toBe(false);
    expect(outputs.slice(-10).every(Number.isFinite)).toBe(true);
  });

  it('keeps purge air without powder as a run of no output, and does not take it for a zero', () => {
    const purge = { sprayMs: 10_000, idleMs: 60_000, output: 0, flow: 3 };
    const { column } = cut(sprayed([...pulls(10), purge, ...pulls(10)]));
    expect(column('start')).toHaveLength(21);
    expect(Math.abs(column('output')[10]!)).toBeLessThan(1);
    for (const zero of column('zeroConveyingFlow').slice(1)) expect(Math.abs(zero)).toBeLessThan(0.05);
  });

  it('shows a steady offset of an idle sensor in the zeros, and the supply with and without the gun', () => {
    const { column } = cut(sprayed(pulls(20, { idleMs: 4 * MINUTE }), { zero: 0.15, slowEvery: 1 }));
    for (const zero of column('zeroConveyingFlow').slice(1)) expect(zero).toBeCloseTo(0.15, 1);
    expect(column('supplyPressureIdle').at(-1)).toBeCloseTo(6, 1);
    expect(column('supplyPressure').at(-1)).toBeCloseTo(5.8, 1);
  });
});

describe('runs without a trigger', () => {
  it('finds the same spray time from conveying flow, also on a sensor with an offset', () => {
    const plans = Array.from({ length: 200 }, (_, index) => ({
      sprayMs: 8000 + (index % 9) * 4000,
      idleMs: 30_000 + (index % 4) * 15_000,
    }));
    const sampling = { zero: 0.25, noise: 0.03, idleEveryMs: 2000 };
    const known = cut(sprayed(plans, sampling)).column('sprayMs');
    const inferred = cut(sprayed(plans, { ...sampling, trigger: false })).column('sprayMs');
    const total = (lengths: number[]): number => lengths.reduce((sum, length) => sum + length, 0);
    expect(inferred).toHaveLength(known.length);
    expect(total(inferred) / total(known)).toBeGreaterThan(0.95);
    expect(total(inferred) / total(known)).toBeLessThan(1.05);
  });

  it('are the same pulls at 10 s sampling, from the first shift on and after the logger was made slower', () => {
    const plans = pulls(40, { sprayMs: 30_000, idleMs: 60_000 });
    const sampling = { sprayEveryMs: 10_000, idleEveryMs: 20_000 };
    const slow = sprayed(plans, { ...sampling, trigger: false });
    // The first pulls teach the interval.
    const levels = (instants: Instant[]): number[] => cut(instants).column('conveyingFlow').slice(-36);
    for (const flow of levels(slow)) expect(Math.abs(flow - 2)).toBeLessThan(0.03);
    const fast = sprayed(pulls(40), { trigger: false });
    const later = fast.at(-1)!.time + MINUTE - slow[0]!.time;
    const changed = [...fast, ...slow.map((instant) => ({ ...instant, time: instant.time + later }))];
    for (const flow of levels(changed)) expect(Math.abs(flow - 2)).toBeLessThan(0.03);
  });

  it('takes neither zero noise nor an offset for spraying', () => {
    const idle = Array.from({ length: 5000 }, (_, index) => ({
      time: 1_750_000_000_000 + index * 2000,
      'conveying/flow': 0.3 + 0.05 * Math.sin(index * 1.7),
      'conveying/pressure': 0,
    }));
    expect(cut(idle).runs.length).toBe(0);
  });
});

describe('the scale', () => {
  it('falls by what was sprayed between the first reading of one run and the last of a later one', () => {
    let mass = 20;
    let last = 0;
    const instants = sprayed(pulls(30, { idleMs: 30_000 })).map((instant) => {
      if (instant.trigger === 1 && last > 0) mass -= (150 / 60_000_000) * (instant.time - last);
      last = instant.trigger === 1 ? instant.time : 0;
      return { ...instant, 'powder/mass': Math.round(mass * 100) / 100 };
    });
    const { column } = cut(instants);
    const used = column('massStart')[0]! - column('massEnd').at(-1)!;
    expect(used).toBeCloseTo((30 * 18 * 150) / 60_000, 1);
  });
});

describe('streaming', () => {
  const instants = sprayed(
    Array.from({ length: 40 }, (_, index) => ({
      sprayMs: 3000 + (index % 7) * 6000,
      idleMs: index % 11 === 10 ? 45 * MINUTE : 20_000,
      powder: index < 20 ? 'p-1' : 'p-2',
    })),
    { noise: 0.02, idleEveryMs: 15_000 },
  );
  const withGaps = instants.filter((_, index) => index % 97 < 80);
  const variants = { 'with a trigger': withGaps, 'without one': withGaps.map(({ trigger: _, ...rest }) => rest) };

  for (const [name, history] of Object.entries(variants)) {
    const frames = framesOf('gun-1', history);
    const whole = cut(frames);

    it(`gives the same runs and facts wherever blocks are cut and states are stored, ${name}`, () => {
      const lengthsOf = fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 5, maxLength: 60 });
      fc.assert(
        fc.property(lengthsOf, fc.boolean(), (lengths, passing) => {
          let state = startCut();
          const runs = new GrowingRuns('gun-1');
          for (let at = 0, turn = 0; at < frames.times.length; turn++) {
            const to = Math.min(frames.times.length, at + lengths[turn % lengths.length]!);
            cutRuns(GUN, state, sliceFrames(frames, at, to), runs);
            at = to;
            if (passing && at < frames.times.length) passTime(GUN, state, frames.times[at]! - 1, runs);
            state = structuredClone(state);
          }
          expect(runs.table()).toEqual(whole.runs.table());
          expect(state.facts).toEqual(whole.state.facts);
        }),
      );
    });
  }

  it('goes on from a stored state after its table was cut back to it', () => {
    const frames = framesOf('gun-1', withGaps);
    const whole = cut(frames);
    const state = startCut();
    const runs = new GrowingRuns('gun-1');
    cutRuns(GUN, state, sliceFrames(frames, 0, 300), runs);
    const kept = structuredClone(state);
    cutRuns(GUN, state, sliceFrames(frames, 300, 500), runs);
    runs.truncate(kept.runs, kept.powders);
    cutRuns(GUN, kept, sliceFrames(frames, 300, frames.times.length), runs);
    expect(runs.table()).toEqual(whole.runs.table());
  });

  it('refuses frames that are not later than its state', () => {
    const frames = framesOf('gun-1', withGaps);
    const { state, runs } = cut(frames);
    expect(() => cutRuns(GUN, state, sliceFrames(frames, 5, 9), runs)).toThrow(RangeError);
  });
});
