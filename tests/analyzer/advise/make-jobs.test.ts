import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../../analyzer/advise/cautions.ts';
import { makeJobs } from '../../../analyzer/advise/make-jobs.ts';
import type { OpenFinding } from '../../../analyzer/diagnose/finding-book.ts';
import { Job } from '../../../analyzer/views.ts';
import { CATEGORIES, PART_IDS } from '../../../collector/contract/index.ts';
import { gunView, openFinding, PLANT, RAISED } from './open-finding.ts';

const hours = (p50: number) => ({ p10: p50 * 0.6, p50, p90: p50 * 1.7 });
const causesOf = (open: readonly OpenFinding[], views = [gunView('gun-01')]): string[] =>
  makeJobs(PLANT, open, views).map(({ cause }) => cause);

describe('order of jobs', () => {
  it('puts a failure before what is past its limit, that before maintenance, and checks of sensors last', () => {
    const open = [
      openFinding('sensor:conveying/flow', { category: 'function-check' }),
      openFinding('pump-insert', { category: 'maintenance-required' }),
      openFinding('powder', { category: 'out-of-specification' }),
      openFinding('supply-air', { category: 'failure' }),
    ];
    expect(causesOf(open)).toEqual(['supply-air', 'powder', 'pump-insert', 'sensor:conveying/flow']);
  });

  it('puts the insert with fewer spray hours left first, however sure the other one is', () => {
    const open = [
      openFinding('pump-insert', { gun: 'gun-01', remaining: hours(10.1) }),
      openFinding('pump-insert', {
        gun: 'gun-02',
        remaining: hours(10),
        candidates: [{ cause: 'pump-insert', probability: 0.5 }],
      }),
    ];
    expect(makeJobs(PLANT, open, []).map(({ gun }) => gun)).toEqual(['gun-02', 'gun-01']);
  });

  it('puts a part that failed at once before an insert that still has hours', () => {
    const open = [openFinding('pump-insert', { remaining: hours(0.5) }), openFinding('pump-seals')];
    expect(causesOf(open)).toEqual(['pump-seals', 'pump-insert']);
  });

  it('puts the surer of two alike first', () => {
    const open = [
      openFinding('pump-seals', { gun: 'gun-01', candidates: [{ cause: 'pump-seals', probability: 0.8 }] }),
      openFinding('pump-seals', { gun: 'gun-02', candidates: [{ cause: 'pump-seals', probability: 0.801 }] }),
    ];
    expect(makeJobs(PLANT, open, []).map(({ gun }) => gun)).toEqual(['gun-02', 'gun-01']);
  });

  it('puts two that are alike in all in the order of their guns, however they come', () => {
    const left = openFinding('pump-seals', { gun: 'gun-01' });
    const right = openFinding('pump-seals', { gun: 'gun-02' });
    expect(makeJobs(PLANT, [right, left], []).map(({ gun }) => gun)).toEqual(['gun-01', 'gun-02']);
    expect(makeJobs(PLANT, [left, right], []).map(({ gun }) => gun)).toEqual(['gun-01', 'gun-02']);
  });

  it('orders two findings of one gun that are alike in all by their causes, however they come', () => {
    const open = [openFinding('powder-hose', { candidates: [] }), openFinding('gun-tube', { candidates: [] })];
    expect(causesOf(open)).toEqual(['gun-tube', 'powder-hose']);
    expect(causesOf([...open].reverse())).toEqual(['gun-tube', 'powder-hose']);
  });

  it('does not depend on the order in which the findings of several guns were raised', () => {
    const one = fc.record({
      category: fc.constantFrom(...CATEGORIES),
      remaining: fc.option(fc.integer({ min: 0, max: 3 }).map(hours)),
      candidates: fc.integer({ min: 1, max: 3 }).map((third) => [{ cause: 'pump-insert', probability: third / 4 }]),
    });
    fc.assert(
      fc.property(
        fc.array(one, { maxLength: 12 }).chain((all) => {
          const open = all.map((change, place) => openFinding('pump-insert', { ...change, gun: `gun-${place + 10}` }));
          return fc.tuple(fc.constant(open), fc.shuffledSubarray(open, { minLength: open.length }));
        }),
        ([open, shuffled]) => {
          expect(makeJobs(PLANT, shuffled, [])).toEqual(makeJobs(PLANT, open, []));
        },
      ),
    );
  });

  it('makes a job of every open finding and ranks them from 1 without a gap', () => {
    const open = Array.from({ length: 7 }, (_, place) => openFinding('pump-seals', { gun: `gun-${place + 10}` }));
    expect(makeJobs(PLANT, open, []).map(({ rank }) => rank)).toEqual([1, 2, 3, 4, 5, 6, 7]);
  });

  it('makes no job where nothing is open', () => {
    expect(makeJobs(PLANT, [], [gunView('gun-01')])).toEqual([]);
  });

  it('leaves the open findings as they are', () => {
    const open = [openFinding('pump-seals', { gun: 'gun-02' }), openFinding('pump-seals', { gun: 'gun-01' })];
    const before = structuredClone(open);
    makeJobs(PLANT, open, []);
    expect(open).toEqual(before);
  });
});

describe('by when', () => {
  const byShifts = (perShift: number | null, remaining: OpenFinding['remaining']): number | null =>
    makeJobs(
      PLANT,
      [openFinding('pump-insert', { remaining })],
      [gunView('gun-01', { sprayHoursPerShift: perShift })],
    )[0]!.byShifts;

  it('is the spray hours left over the gun’s spray hours of a shift', () => {
    expect(byShifts(3, hours(37))).toBeCloseTo(37 / 3, 12);
  });

  it('is 0 shifts when the limit is reached', () => {
    expect(byShifts(3, { p10: 0, p50: 0, p90: 4 })).toBe(0);
  });

  it('has no shifts before a shift of the gun is known', () => {
    expect(byShifts(null, hours(37))).toBeNull();
  });

  it('has no shifts where the gun sprays nothing in a shift', () => {
    expect(byShifts(0, hours(37))).toBeNull();
  });

  it('has neither shifts nor spray hours where wear is not the matter', () => {
    const [job] = makeJobs(PLANT, [openFinding('pump-seals')], [gunView('gun-01')]);
    expect([job!.byShifts, job!.bySprayHours]).toEqual([null, null]);
  });

  it('tells the spray hours with their interval', () => {
    const [job] = makeJobs(PLANT, [openFinding('pump-insert', { remaining: hours(37) })], []);
    expect(job!.bySprayHours).toEqual(hours(37));
  });
});

describe('what a job is about', () => {
  it('goes after the likeliest candidate, though the finding was raised for another', () => {
    const candidates = [
      { cause: 'gun-seals', probability: 0.6 },
      { cause: 'pump-seals', probability: 0.3 },
    ];
    const [job] = makeJobs(PLANT, [openFinding('pump-seals', { candidates })], []);
    expect([job!.cause, job!.part, job!.finding.cause]).toEqual(['gun-seals', 'gun-seals', 'pump-seals']);
  });

  it.each([
    ['the likeliest is as good as sure', 0.86, 0.09, 'pump-seals'],
    ['another is a rival, and easier to check', 0.6, 0.3, 'gun-seals'],
  ])('asks for the check that decides where %s', (_, first, second, part) => {
    const candidates = [
      { cause: 'pump-seals', probability: first },
      { cause: 'gun-seals', probability: second },
    ];
    expect(makeJobs(PLANT, [openFinding('pump-seals', { candidates })], [])[0]!.benchCheck!.part).toBe(part);
  });

  it('names the gun of the finding by its name', () => {
    const [job] = makeJobs(PLANT, [openFinding('pump-seals')], [gunView('gun-01', { name: 'Booth 1 left' })]);
    expect(job!.gunName).toBe('Booth 1 left');
  });

  it('names all guns of a common cause, by id where one has no name', () => {
    const common = openFinding('supply-air', {
      gun: null,
      guns: ['gun-01', 'gun-03'],
      category: 'out-of-specification',
    });
    expect(makeJobs(PLANT, [common], [])[0]!.gunName).toBe('Booth 1 left, gun-03');
  });

  it('points at its finding as the contract knows it', () => {
    const [job] = makeJobs(PLANT, [openFinding('pump-seals')], []);
    expect(job!.finding).toEqual({ gun: 'gun-01', cause: 'pump-seals', raised: new Date(RAISED).toISOString() });
  });

  it.each(['supply-air', 'powder', 'sensor:conveying/flow', 'sensor:clock', 'no-data'])(
    'blames no part and changes none for %s',
    (cause) => {
      const [job] = makeJobs(PLANT, [openFinding(cause, { category: 'function-check' })], []);
      expect(job!.part).toBeNull();
      expect(job!.benchCheck).toBeNull();
      expect(job!.action).not.toMatch(/^Change/);
    },
  );

  it.each(PART_IDS)('says in the imperative what to do with a %s', (part) => {
    const [job] = makeJobs(PLANT, [openFinding(part)], []);
    expect(job!.part).toBe(part);
    expect(job!.action).toMatch(/^(Change|Clean|Check)/);
  });

  it('always shows every caution, whatever the finding', () => {
    const causes = [...PART_IDS, 'supply-air', 'powder', 'sensor:conveying/flow', 'sensor:clock', 'no-data'];
    for (const job of makeJobs(
      PLANT,
      causes.map((cause) => openFinding(cause)),
      [],
    ))
      expect(job.cautions).toEqual(CAUTIONS);
  });

  it('has the shape that the API promises', () => {
    const open = [
      openFinding('pump-insert', { remaining: hours(37) }),
      openFinding('supply-air', { gun: null, guns: ['gun-01', 'gun-02'] }),
    ];
    for (const job of makeJobs(PLANT, open, [gunView('gun-01')])) expect(Job.parse(job)).toEqual(job);
  });
});
