import { describe, expect, it } from 'vitest';
import { designedPromise, observedPromise, promiseText, simulatedPromise } from '../../../analyzer/promise/index.ts';
import { NOTHING_UNLOGGED } from '../../../analyzer/study/undecided-changes.ts';
import { type Finding, Settings } from '../../../collector/contract/index.ts';

const YEAR_MS = 365.25 * 86_400_000;
const settings = Settings.parse({});

function finding(gun: string, cause: string, raised: number, cleared: number | null): Finding {
  const iso = (time: number): string => new Date(time).toISOString();
  const base = { guns: undefined, category: 'maintenance-required', excessAir: null, remaining: null } as const;
  const times = { onset: iso(raised), raised: iso(raised), asOf: iso(raised) };
  return {
    ...base,
    gun,
    cause,
    ...times,
    cleared: cleared === null ? null : iso(cleared),
    candidates: [],
    evidence: [],
  };
}

describe('designed', () => {
  it('keeps every promise by theory, and gives each signal its share', () => {
    for (const falseAlarmsPerGunYear of [0.1, 0.3, 1]) {
      const { signals, perGunYear } = designedPromise({ ...settings, falseAlarmsPerGunYear });
      expect(perGunYear).toBeLessThan(1.02 * falseAlarmsPerGunYear);
      expect(signals.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
      for (const signal of signals) expect(signal.perGunYear).toBeLessThan(1.05 * signal.share * falseAlarmsPerGunYear);
    }
  });

  it('says where half the change limit, and not the promise, decides on the insert', () => {
    const insertOf = (changeLimitExcessAir: number): string =>
      designedPromise({ ...settings, changeLimitExcessAir }).signals.find(({ signal }) => signal.includes('insert'))!
        .detector;
    expect(insertOf(0.3)).toContain('half the change limit decides');
    expect(insertOf(0.1)).toContain('deviations beyond the smallest change');
  });
});

describe('simulated', () => {
  it('counts parts alone and tells the exact Poisson interval', () => {
    const hall = { gunYears: 5, sprayHours: 2500, wrong: [{ cause: 'pump-insert' }, { cause: 'pump-seals' }] };
    const told = simulatedPromise(1, [hall, { ...hall, wrong: [{ cause: 'pump-insert' }, { cause: 'no-data' }] }]);
    expect(told.byCause).toEqual([
      { cause: 'pump-seals', wrong: 1 },
      { cause: 'pump-insert', wrong: 2 },
    ]);
    // Limits of a count of 3: F. Garwood, Biometrika 28, 1936, table: 0.619 and 8.767.
    expect(told.perGunYear.value).toBeCloseTo(0.3, 12);
    expect(told.perGunYear.low).toBeCloseTo(0.0619, 4);
    expect(told.perGunYear.high).toBeCloseTo(0.8767, 4);
  });
});

describe('observed here', () => {
  const start = Date.parse('2026-01-05T06:00:00Z');
  const hour = 3_600_000;
  const findings = [
    finding('gun-01', 'pump-insert', start, start + hour),
    finding('gun-02', 'pump-seals', start, start + hour),
    finding('gun-03', 'conveying-filter', start, null),
    finding('gun-03', 'sensor:clock', start, start + hour),
  ];
  const log = [
    { time: start + 1, gun: 'gun-01', part: 'pump-insert', action: 'inspected', found: 'good', note: '' } as const,
    { time: start + 1, gun: 'gun-02', part: 'pump-seals', action: 'replaced', found: 'worn', note: '' } as const,
  ];
  const watchedFor = (gunYears: number) => [{ firstTime: start, lastTime: start + gunYears * YEAR_MS }];

  it('tells no rate below ten gun-years, and one from ten on', () => {
    const few = observedPromise({
      findings,
      log,
      judgements: [],
      unlogged: NOTHING_UNLOGGED,
      watched: watchedFor(9.99),
    });
    expect(few).toMatchObject({ wrong: 1, right: 1, notJudged: 1, enough: false, perGunYear: null });
    const enough = observedPromise({
      findings,
      log,
      judgements: [],
      unlogged: NOTHING_UNLOGGED,
      watched: watchedFor(10.01),
    });
    expect(enough.enough).toBe(true);
    expect(enough.perGunYear!.value).toBeCloseTo(1 / 10.01, 9);
  });

  it('takes a person’s word before the log', () => {
    const judgements = [{ gun: 'gun-02', cause: 'pump-seals', raised: start, judged: 'wrong', reason: '' } as const];
    expect(
      observedPromise({ findings, log, judgements, unlogged: NOTHING_UNLOGGED, watched: watchedFor(12) }),
    ).toMatchObject({
      wrong: 2,
      right: 0,
    });
  });

  it('does not count as wrong what a change that waits for a word would explain', () => {
    const cleared = [finding('gun-01', 'pump-insert', start, start + hour)];
    const change = { gun: 'gun-01', part: 'pump-insert', time: start + 1, noticed: start + hour };
    const basis = { findings: cleared, log: [], judgements: [], watched: watchedFor(12) };
    expect(observedPromise({ ...basis, unlogged: NOTHING_UNLOGGED })).toMatchObject({ wrong: 1, notJudged: 0 });
    expect(observedPromise({ ...basis, unlogged: { ...NOTHING_UNLOGGED, undecided: [change] } })).toMatchObject({
      wrong: 0,
      notJudged: 1,
    });
  });

  it('keeps the three apart in words', () => {
    const observed = observedPromise({
      findings,
      log,
      judgements: [],
      unlogged: NOTHING_UNLOGGED,
      watched: watchedFor(2),
    });
    const text = promiseText({ accepted: 0.3, designed: designedPromise(settings), simulated: null, observed });
    expect(text).toMatch(
      /Designed, by run-length theory:[\s\S]*Simulated, on healthy guns:\n {2}not simulated[\s\S]*Observed here:\n {2}too little data/,
    );
  });
});
