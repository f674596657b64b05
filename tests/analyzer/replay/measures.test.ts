import { describe, expect, it } from 'vitest';
import { calibrationBins, calibrationGap } from '../../../analyzer/replay/calibration.ts';
import type { CaseScore, FaultOutcome } from '../../../analyzer/replay/case-score.ts';
import { confusion } from '../../../analyzer/replay/confusion.ts';
import { isReached } from '../../../analyzer/replay/measure.ts';
import { measures } from '../../../analyzer/replay/measures.ts';

const empty: CaseScore = {
  scenario: 'told',
  seed: 1,
  sprayHours: 1000,
  gunYears: 2,
  lives: [],
  faults: [],
  traps: [],
  findings: [],
  forecasts: [],
  clearings: [],
  misses: [],
};

const step = (change: Partial<FaultOutcome>): FaultOutcome => ({
  id: 'a',
  cause: 'pump-seals',
  shape: 'step',
  size: 0.1,
  sprayHours: 10,
  visible: true,
  ripple: true,
  found: 'pump-seals',
  category: 'maintenance-required',
  rank: 1,
  delay: 0.5,
  before70: null,
  ...change,
});

const named = (scores: readonly CaseScore[], name: string) =>
  measures(scores).find((measure) => measure.name.startsWith(name))!;

describe('measures', () => {
  it('pool halls and state exact intervals', () => {
    const flagged = (flaggedAt: number | null) => ({ gun: 'gun-01', origin: 'logged' as const, flaggedAt });
    const halls = [
      { ...empty, lives: [flagged(0.5), flagged(0.95)] },
      { ...empty, seed: 2, lives: [flagged(0.2), flagged(null)] },
    ];
    const inTime = named(halls, 'Inserts logged as new, flagged first');
    expect(inTime.basis).toBe('1 of 4 inserts');
    expect(inTime.estimate).toEqual({ value: 0.25, low: expect.closeTo(0.0063, 4), high: expect.closeTo(0.8059, 4) });
    expect(named(halls, 'Inserts logged as new, flagged too early').basis).toBe('1 of 4 inserts');
    expect(named(halls, 'Inserts logged as new, flagged late').basis).toBe('2 of 4 inserts');
  });

  it('take the edges of the band as inside', () => {
    const lives = [0.35, 0.9].map((flaggedAt) => ({ gun: 'gun-01', origin: 'logged' as const, flaggedAt }));
    expect(named([{ ...empty, lives }], 'Inserts logged as new, flagged first').estimate!.value).toBe(1);
  });

  it('show seal steps that were too short, or on guns on which no channel shows them, in rows of their own', () => {
    const faults = [
      step({}),
      step({ sprayHours: 4.9 }),
      step({ sprayHours: 3, found: null }),
      step({ visible: false, found: null }),
      step({ size: 0.2 }),
    ];
    const basis = (name: string) => named([{ ...empty, faults }], name).basis;
    expect(basis('Seal steps of 6–15 %, right cause first')).toBe('1 of 1 steps');
    expect(basis('Seal steps mended within 5 spray hours')).toBe('1 of 2 steps');
    expect(basis('Seal steps where the output is computed from the air')).toBe('0 of 1 steps');
  });

  it('keep false findings against parts apart from the others', () => {
    const wrong = (cause: string) => ({
      cause,
      probability: 0.5,
      right: false,
      isFalse: true,
      share: null,
      worn: false,
    });
    const findings = [
      wrong('pump-seals'),
      wrong('powder'),
      wrong('sensor:conveying/flow'),
      { ...wrong('pump-seals'), isFalse: false },
    ];
    const halls = [{ ...empty, findings }];
    expect(named(halls, 'False findings against a part').estimate!.value).toBe(1);
    expect(named(halls, 'False findings of powder').estimate!.value).toBe(2);
    expect(named(halls, 'False findings against a part, by calendar').estimate!.value).toBe(0.5);
  });

  it('tell inserts that are worn, but told too early, both apart and together with what is not there at all', () => {
    const told = (worn: boolean) => ({
      ...{ cause: 'pump-insert', probability: 0.9, right: false, isFalse: true, share: 0.3, worn },
    });
    const halls = [{ ...empty, findings: [told(true), told(true), told(false)] }];
    expect(named(halls, 'False findings against a part').basis).toMatch(/^1 in /);
    expect(named(halls, 'False findings against a part and inserts told too early, together').basis).toMatch(/^3 in /);
  });

  it('count early and late inserts of every origin', () => {
    const halls = (['fitted-at-start', 'unlogged'] as const).map((origin) => ({
      ...empty,
      lives: [0.1, 0.5, 0.95, null].map((flaggedAt) => ({ gun: 'gun-01', origin, flaggedAt })),
    }));
    for (const whose of ['Inserts already fitted at the start', 'Inserts changed without a log entry']) {
      expect(named(halls, `${whose}, flagged too early`).basis).toBe('1 of 4 inserts');
      expect(named(halls, `${whose}, flagged late or missed`).basis).toBe('2 of 4 inserts');
    }
  });

  it('count a missed step as a wrong one, and leave out steps beyond the sizes asked for', () => {
    const faults = [
      step({}),
      step({ found: null, rank: null, delay: null }),
      step({ size: 0.05 }),
      step({ sprayHours: 4 }),
    ];
    expect(named([{ ...empty, faults }], 'Seal steps of 6–15 %, right cause first').basis).toBe('1 of 2 steps');
  });

  it('tell what is reached, what is not, and what cannot be told', () => {
    const reached = (rank: number | null) =>
      isReached(named([{ ...empty, faults: [step({ rank })] }], 'Seal steps of 6–15 %, right cause first'));
    expect([reached(1), reached(2)]).toEqual([true, false]);
    expect(isReached(named([empty], 'Seal steps of 6–15 %, right cause first'))).toBeNull();
  });

  it('give an insert with many forecasts no more weight in the medians than one with few', () => {
    const forecast = (life: string, error: number) => ({ life, inside: true, error, width: 0.3 });
    const forecasts = [forecast('a', 0.3), forecast('b', 0.1), ...Array.from({ length: 9 }, () => forecast('c', 0.05))];
    expect(named([{ ...empty, forecasts }], 'Remaining life, median error').estimate!.value).toBeCloseTo(0.1, 12);
  });
});

describe('calibration', () => {
  it('is perfect when what is said at 80 % is right in four of five', () => {
    const findings = [true, true, true, true, false].map((right) => ({ probability: 0.8, right }));
    expect(calibrationGap(findings)).toBeCloseTo(0, 12);
  });

  it('weighs tenths by count', () => {
    const findings = [
      { probability: 0.95, right: true },
      { probability: 0.95, right: true },
      { probability: 0.95, right: true },
      { probability: 0.15, right: true },
    ];
    expect(calibrationGap(findings)).toBeCloseTo((3 * 0.05 + 0.85) / 4, 12);
  });

  it('puts certainty into the last tenth', () => {
    expect(calibrationBins([{ probability: 1, right: true }])[9]).toEqual({ count: 1, right: 1, stated: 1 });
  });
});

describe('confusion matrix', () => {
  it('counts faults, inserts and false findings by what was first said', () => {
    const scores = [
      {
        ...empty,
        faults: [step({}), step({ found: null }), step({ found: 'gun-seals' }), step({ visible: false })],
        lives: [{ gun: 'gun-01', origin: 'logged' as const, flaggedAt: null }],
        findings: [{ cause: 'powder', probability: 0.5, right: false, isFalse: true, share: null, worn: false }],
      },
    ];
    expect(confusion(scores)).toEqual({
      truths: ['pump-insert', 'pump-seals', 'nothing wrong'],
      found: ['gun-seals', 'powder', 'pump-seals', 'not found'],
      counts: [
        [0, 0, 0, 1],
        [1, 0, 1, 1],
        [0, 1, 0, 0],
      ],
    });
  });
});
