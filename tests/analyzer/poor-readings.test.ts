import { describe, expect, it } from 'vitest';
import { analyzeSite } from '../../analyzer/analyze-site.ts';
import { sitePipeline } from '../../analyzer/pipeline.ts';
import { type Finding, Plant, Settings } from '../../collector/contract/index.ts';
import { framesOf, type Instant, type PullPlan, sprayed } from './runs/station-frames.ts';

const DAY = 86_400_000;
const START = 1_750_000_000_000;
const HISTORY = 300;
const pulls = (count: number, plan: Partial<PullPlan> = {}): PullPlan[] =>
  Array.from({ length: count }, () => ({ sprayMs: 20_000, idleMs: 40_000, ...plan }));
/** Days of one gun: some five hours of pulls each. */
const days = (count: number, plan: Partial<PullPlan> = {}, from = START): Instant[] =>
  Array.from({ length: count }, (_, day) =>
    sprayed(pulls(HISTORY, plan), { start: from + day * DAY, seed: day + 1 }),
  ).flat();

/** What is found on two guns that read the same. */
function findingsOf(history: readonly Instant[]): Finding[] {
  const plant = Plant.parse({ site: { id: 'hall-2', timezone: 'UTC' }, guns: [{ id: 'gun-01' }, { id: 'gun-02' }] });
  const readings = {
    stations: ['gun-01', 'gun-02'],
    *blocks(station: string) {
      yield framesOf(station, history);
    },
    rangeFacts: [],
    clockFacts: [],
  };
  return analyzeSite(sitePipeline, { plant, settings: Settings.parse({}), log: [], readings }).findings;
}

/** The same history with some channels changed, instant by instant. */
const changed = (
  history: readonly Instant[],
  change: (instant: Instant, index: number) => Partial<Instant>,
): Instant[] => history.map((instant, index) => ({ ...instant, ...change(instant, index) }));

/** What a node tells that sends bar and says kPa. */
const inKilopascals = (history: readonly Instant[]): Instant[] =>
  changed(history, (instant) => ({ 'conveying/pressure': instant['conveying/pressure']! / 100 }));

const KEPT: Record<string, () => readonly Instant[]> = {
  'nothing at all': () => [],
  'a single reading': () => days(1).slice(0, 1),
  'a history of one run': () => sprayed(pulls(1)),
  'signals that are constant while it sprays and while it rests': () =>
    changed(days(4), ({ trigger }) => ({
      'conveying/flow': trigger === 1 ? 2 : 0,
      'conveying/pressure': trigger === 1 ? 1.5 : 0,
      'powder/output': trigger === 1 ? 150 : 0,
    })),
  'values that are missing here and there': () =>
    changed(days(4), (_, index) => ({
      ...(index % 3 === 0 ? { 'conveying/flow': Number.NaN } : {}),
      ...(index % 5 === 0 ? { 'powder/output': Number.NaN } : {}),
      ...(index % 7 === 0 ? { 'conveying/pressure': Number.NaN } : {}),
    })),
  'a channel that never has a value': () => changed(days(3), () => ({ 'powder/output': Number.NaN })),
  'a pressure in bar that is said to be in kPa': () => inKilopascals(days(4)),
  'small negative values at rest': () =>
    changed(days(3), ({ trigger }) => (trigger === 0 ? { 'conveying/flow': -0.01, 'conveying/pressure': -0.01 } : {})),
  'a gap of three weeks': () => [...days(3), ...days(3, {}, START + 24 * DAY)],
  'outputs of nothing': () => changed(days(3), () => ({ 'powder/output': 0 })),
  'a clock that jumps an hour ahead': () => [...days(3), ...days(3, {}, START + 3 * DAY + 3_600_000)],
};

describe('poor readings', () => {
  it.each(Object.keys(KEPT))('of %s raise nothing but a check of sensor, clock or data', (name) => {
    const findings = findingsOf(KEPT[name]!());
    expect(findings.filter(({ category }) => category !== 'function-check')).toEqual([]);
    for (const { cause, evidence } of findings) {
      expect(cause).toMatch(/^(sensor:|no-data$)/);
      expect(evidence.length).toBeGreaterThan(0);
    }
  });

  it('of a pressure in the wrong unit say so, and no more once it is put right', () => {
    const low = findingsOf(inKilopascals(days(3)));
    expect(low.map(({ gun, cause, category, cleared }) => [gun, cause, category, cleared])).toEqual(
      ['gun-01', 'gun-02'].map((gun) => [gun, 'sensor:conveying/pressure', 'function-check', null]),
    );
    expect(low[0]!.evidence[0]).toMatch(/^conveying pressure reads 0\.0\d+ bar while spraying/);
    const right = findingsOf([...inKilopascals(days(2)), ...days(3, {}, START + 2 * DAY)]);
    expect(right.map(({ cause, cleared }) => [cause, cleared !== null])).toEqual(
      ['gun-01', 'gun-02'].map(() => ['sensor:conveying/pressure', true]),
    );
  });

  it('of a sound gun raise nothing at all', () => {
    expect(findingsOf(days(4))).toEqual([]);
  });
});
