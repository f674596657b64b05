import { describe, expect, it } from 'vitest';
import { scoreCase } from '../../../analyzer/replay/score-case.ts';
import { at, clearedAt, fault, finding, hall, life } from './hall-case.ts';

describe('findings on an insert', () => {
  it('are told as the share of the wear limit at which they were first raised', () => {
    const score = scoreCase(
      hall({ lives: [life()], findings: [finding('pump-insert', 80), finding('pump-insert', 60)] }),
    );
    expect(score.lives).toEqual([{ gun: 'gun-01', origin: 'logged', flaggedAt: expect.closeTo(0.6, 9) }]);
    expect(score.findings.map(({ isFalse }) => isFalse)).toEqual([false, false]);
  });

  it.each([
    [34, true],
    [35.1, false],
  ])('raised at %d %% of the limit are false: %s', (hour, isFalse) => {
    const [outcome] = scoreCase(hall({ lives: [life()], findings: [finding('pump-insert', hour)] })).findings;
    expect(outcome).toMatchObject({ isFalse, right: !isFalse, share: expect.closeTo(hour / 100, 9) });
  });

  it.each([
    // Its excess air passes the 5 % that are worth a visit at hour 27.8.
    [27, false, 'false pump-insert'],
    [29, true, 'early pump-insert'],
    [40, true, null],
  ])('raised at hour %d are of a worn insert: %s', (hour, worn, miss) => {
    const { findings, misses } = scoreCase(hall({ lives: [life()], findings: [finding('pump-insert', hour)] }));
    expect(findings[0]).toMatchObject({ worn });
    expect(misses.find((one) => one.includes('pump-insert')) ?? null).toEqual(
      miss === null ? null : expect.stringContaining(miss),
    );
  });

  it('are of a worn one where no air would do any more', () => {
    const curve = [
      { time: at(0), sprayHours: 0, loss: 0, excessAir: 0 },
      { time: at(10), sprayHours: 5, loss: 0.5, excessAir: null },
    ];
    const [outcome] = scoreCase(
      hall({ lives: [life({ curve, wearLimit: 0.9 })], findings: [finding('pump-insert', 3)] }),
    ).findings;
    expect(outcome).toMatchObject({ isFalse: true, worn: true });
  });

  it('do not count for the insert that follows', () => {
    const lives = [life({ end: at(50) }), life({ start: at(50) })];
    const score = scoreCase(hall({ lives, findings: [finding('pump-insert', 40)] }));
    expect(score.lives.map(({ flaggedAt }) => flaggedAt)).toEqual([expect.closeTo(0.4, 9), null]);
  });

  it('leave out inserts that never came to 70 % of their limit', () => {
    expect(scoreCase(hall({ lives: [life({ reached70: false })] })).lives).toEqual([]);
  });
});

describe('faults', () => {
  it('are found by the first finding raised while they last, with their delay in spray hours', () => {
    const faults = [fault('pump-seals', 20, 60)];
    const score = scoreCase(hall({ faults, findings: [finding('pump-seals', 26), finding('pump-seals', 40)] }));
    expect(score.faults).toEqual([expect.objectContaining({ found: 'pump-seals', rank: 1, delay: 3 })]);
    expect(score.findings.every(({ right }) => right)).toBe(true);
  });

  it('that were called by another name are found, not named, and no false finding', () => {
    const candidates = [
      { cause: 'gun-seals', probability: 0.6 },
      { cause: 'pump-seals', probability: 0.3 },
    ];
    const score = scoreCase(
      hall({ faults: [fault('pump-seals', 20, 60)], findings: [finding('gun-seals', 30, { candidates })] }),
    );
    expect(score.faults[0]).toMatchObject({ found: 'gun-seals', rank: 2 });
    expect(score.findings).toEqual([
      { cause: 'gun-seals', probability: 0.6, right: false, isFalse: false, share: null, worn: false },
    ]);
  });

  it('of one gun are told apart by what a finding names among its candidates', () => {
    const faults = [fault('fluidizing-ring', 10, 90), fault('gun-seals', 20, 60)];
    const candidates = [
      { cause: 'pump-seals', probability: 0.6 },
      { cause: 'gun-seals', probability: 0.3 },
    ];
    const score = scoreCase(hall({ faults, findings: [finding('pump-seals', 30, { candidates })] }));
    expect(score.faults.map(({ found, rank }) => [found, rank])).toEqual([
      [null, null],
      ['pump-seals', 2],
    ]);
  });

  it('that lie side by side are told apart though each is called by the other’s name', () => {
    const faults = [fault('gun-seals', 10, 90), fault('pump-seals', 20, 60)];
    const both = (cause: string, other: string, hour: number) =>
      finding(cause, hour, {
        candidates: [
          { cause, probability: 0.6 },
          { cause: other, probability: 0.3 },
        ],
      });
    const findings = [both('pump-seals', 'gun-seals', 12), both('gun-seals', 'pump-seals', 24)];
    const score = scoreCase(hall({ faults, findings }));
    expect(score.faults.map(({ found, rank, delay }) => [found, rank, delay])).toEqual([
      ['pump-seals', 2, 1],
      ['gun-seals', 2, 2],
    ]);
    expect(score.findings.map(({ right, isFalse }) => [right, isFalse])).toEqual([
      [false, false],
      [false, false],
    ]);
    // Once the first finding is over, the next one is about the fault of its own name.
    const after = [{ ...findings[0]!, ...clearedAt(20) }, findings[1]!];
    expect(scoreCase(hall({ faults, findings: after })).faults[1]).toMatchObject({ found: null });
  });

  it('of seals cannot be seen where the output is computed from the air and no ripple is fitted', () => {
    const faults = [fault('pump-seals', 20, 60), fault('conveying-filter', 20, 60)];
    const seen = (output: string, channels: readonly string[]) => {
      const one = hall({ faults });
      return scoreCase({ ...one, guns: [{ ...one.guns[0]!, output, channels }] }).faults.map(({ visible }) => visible);
    };
    expect(seen('coupled', ['conveying/flow'])).toEqual([false, true]);
    expect(seen('coupled', ['conveying/flow', 'conveying/ripple'])).toEqual([true, true]);
    expect(seen('setpoint', ['conveying/flow'])).toEqual([true, true]);
  });

  it('are judged by what was said when the finding was raised, not by what was known later', () => {
    const early = finding('pump-seals', 30, { candidates: [{ cause: 'gun-seals', probability: 0.5 }] });
    const late = finding('pump-seals', 30, { asOfHour: 50 });
    const score = scoreCase(
      hall({ faults: [fault('pump-seals', 20, 60)], findings: [late], snapshots: [late, early] }),
    );
    expect(score.faults[0]).toMatchObject({ rank: null });
  });

  it('do not explain what was raised before them or after their end', () => {
    const findings = [finding('pump-seals', 18), finding('pump-seals', 62)];
    const score = scoreCase(hall({ faults: [fault('pump-seals', 20, 60)], findings }));
    expect(score.findings.map(({ isFalse }) => isFalse)).toEqual([true, true]);
    expect(score.faults[0]).toMatchObject({ found: null, rank: null, delay: null });
  });

  it('of supply, powder or wear do not excuse a finding against another part', () => {
    const faults = [fault('supply-air', 20, 60, { shape: 'span' }), fault('powder', 20, 60, { shape: 'span' })];
    const score = scoreCase(hall({ lives: [life()], faults, findings: [finding('pump-seals', 55)] }));
    expect(score.findings[0]).toMatchObject({ isFalse: true });
  });

  it('common to guns are found by a finding about several of them', () => {
    const faults = [fault('supply-air', 20, 40, { guns: ['gun-01', 'gun-02'], shape: 'span' })];
    const common = finding('supply-air', 30, { gun: null, guns: ['gun-01', 'gun-09'] });
    expect(scoreCase(hall({ faults, findings: [common] })).faults[0]).toMatchObject({ found: 'supply-air', rank: 1 });
  });

  it('that grow say whether they were found before 70 % of their limit', () => {
    const ramp = fault('conveying-filter', 20, 100, { shape: 'ramp', reached70: at(70) });
    const before70 = (hour: number) =>
      scoreCase(hall({ faults: [ramp], findings: [finding('conveying-filter', hour)] })).faults[0]!.before70;
    expect([before70(69), before70(71)]).toEqual([true, false]);
  });

  it('without the channels that show them are not visible', () => {
    const score = scoreCase(hall({ faults: [fault('fluidizing-ring', 1, null), fault('conveying-filter', 1, null)] }));
    expect(score.faults.map(({ visible }) => visible)).toEqual([false, true]);
  });
});

describe('traps', () => {
  const trap = { kind: 'powder-change', guns: ['gun-01'], start: at(30), end: at(50) };

  it.each([
    [finding('pump-seals', 40), true],
    [finding('powder', 40), false],
    [finding('pump-seals', 51), false],
    [finding('pump-seals', 40, { gun: 'gun-02' }), false],
  ])('raise a finding only with one against a part of their gun in their time (%#)', (one, raised) => {
    expect(scoreCase(hall({ traps: [trap], findings: [one] })).traps).toEqual([{ kind: 'powder-change', raised }]);
  });

  it('are not blamed for what a real fault explains', () => {
    const score = scoreCase(
      hall({ traps: [trap], faults: [fault('pump-seals', 35, 60)], findings: [finding('pump-seals', 40)] }),
    );
    expect(score.traps[0]!.raised).toBe(false);
  });
});

describe('forecasts', () => {
  const shown = (hour: number, p10: number, p50: number, p90: number) =>
    finding('pump-insert', 40, { asOfHour: hour, remaining: { sprayHours: { p10, p50, p90 } } });

  it('are compared with what was left to the true limit, as shares of life', () => {
    const score = scoreCase(hall({ lives: [life()], snapshots: [shown(60, 10, 25, 30), shown(80, 20, 30, 40)] }));
    // 20 of 50 spray hours are left at hour 60, 10 at hour 80.
    expect(score.forecasts.map(({ inside, error, width }) => ({ inside, error, width }))).toEqual([
      { inside: true, error: expect.closeTo(0.1, 9), width: expect.closeTo(0.4, 9) },
      { inside: false, error: expect.closeTo(0.4, 9), width: expect.closeTo(0.4, 9) },
    ]);
  });

  it('count from half-life on and up to the limit only', () => {
    const snapshots = [shown(48, 1, 2, 3), shown(52, 1, 2, 3), shown(101, 1, 2, 3)];
    expect(scoreCase(hall({ lives: [life()], snapshots })).forecasts).toHaveLength(1);
  });
});

describe('clearing', () => {
  const seals = fault('pump-seals', 20, 60);
  const clearings = (cleared: number | null, faults = [seals]) =>
    scoreCase(hall({ faults, findings: [finding('pump-seals', 30, cleared === null ? {} : clearedAt(cleared))] }))
      .clearings;

  it.each([
    [76, true],
    [77, false],
    [null, false],
  ])('at hour %s after a change at hour 60 is in time: %s', (cleared, inTime) => {
    expect(clearings(cleared)).toEqual([{ cause: 'pump-seals', inTime }]);
  });

  it('is not judged where the fault ended by itself, or too little was sprayed afterwards', () => {
    expect(clearings(null, [{ ...seals, cured: false }])).toEqual([]);
    expect(clearings(null, [fault('pump-seals', 20, 110)])).toEqual([]);
  });

  it('of a changed insert counts like that of a fault', () => {
    const one = hall({ lives: [life({ end: at(90) })], findings: [finding('pump-insert', 60, clearedAt(92))] });
    expect(scoreCase(one).clearings).toEqual([{ cause: 'pump-insert', inTime: true }]);
  });
});

describe('what went wrong', () => {
  it('is told in order of time, one sentence each', () => {
    const score = scoreCase(
      hall({
        lives: [life()],
        faults: [fault('pump-seals', 20, 60), fault('conveying-filter', 90, null, { shape: 'ramp' })],
        findings: [
          finding('gun-seals', 30, { evidence: ['output fell by 9 % at once'] }),
          finding('powder', 10, { evidence: ['output fell with a new lot'] }),
        ],
      }),
    );
    expect(score.misses).toEqual([
      'told/1 2026-03-02T00:00 gun-01 insert (logged) not flagged, changed at 120 % of its limit',
      'told/1 2026-03-02T10:00 gun-01 false powder (0.80): output fell with a new lot',
      'told/1 2026-03-03T06:00 gun-01 pump-seals taken for gun-seals (0.80): output fell by 9 % at once',
      'told/1 2026-03-05T18:00 gun-01 ramp of conveying-filter not found, size 0.100, 20.0 spray hours',
    ]);
  });
});

describe('wrong clocks', () => {
  it('are named rightly by a finding on the clock, and by no other', () => {
    const traps = [{ kind: 'clock-offset', guns: ['gun-01'], start: at(20), end: at(60) }];
    const findings = [finding('sensor:clock', 30), finding('pump-seals', 30), finding('sensor:clock', 70)];
    const score = scoreCase(hall({ traps, findings }));
    expect(score.findings.map(({ cause, isFalse }) => [cause, isFalse])).toEqual([
      ['sensor:clock', false],
      ['pump-seals', true],
      ['sensor:clock', true],
    ]);
  });

  it('explain the gap that they leave in their own time', () => {
    const faults = [fault('sensor:clock', 20, 60, { shape: 'span' })];
    const score = scoreCase(hall({ faults, findings: [finding('no-data', 30), finding('no-data', 70)] }));
    expect(score.findings.map(({ isFalse, right }) => [isFalse, right])).toEqual([
      [false, false],
      [true, false],
    ]);
  });
});

describe('a lowered supply setting', () => {
  it('is named rightly by a finding on the supply air, and is no part’s', () => {
    const traps = [{ kind: 'low-supply-setting', guns: ['gun-01'], start: at(20), end: at(60) }];
    const score = scoreCase(hall({ traps, findings: [finding('supply-air', 30), finding('conveying-filter', 30)] }));
    expect(score.findings.map(({ isFalse }) => isFalse)).toEqual([false, true]);
  });
});
