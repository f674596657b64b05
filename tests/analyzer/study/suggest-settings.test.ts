import { describe, expect, test } from 'vitest';
import { gridOf, monthsOf, type Span, type Study, suggestSettings } from '../../../analyzer/index.ts';
import { judgeFinding } from '../../../analyzer/study/judge-finding.ts';
import { tallyOf } from '../../../analyzer/study/study-score.ts';
import { Settings } from '../../../collector/contract/index.ts';
import { findingOf, hour } from './finding-of.ts';

const MONTH_HOURS = 730;
const months: Span[] = Array.from({ length: 6 }, (_, month) => ({
  from: hour(month * MONTH_HOURS),
  to: hour((month + 1) * MONTH_HOURS),
}));
const span = { from: months[0]!.from, to: months.at(-1)!.to };
const YEARS = 0.5 * (8760 / 8766);

/** A study with false findings and leads at given hours. */
function studyOf(settings: Settings, falseAt: number[], leads: { at: number; hours: number }[]): Study {
  const findings = falseAt.map((at) => judgeFinding(findingOf('pump-seals', at, at + 1), [], undefined));
  const due = leads.map(({ at, hours }) => ({
    ...{ gun: 'gun-01', part: 'pump-insert', time: hour(at), found: 'worn' as const, told: 'in-time' as const },
    ...{ leadSprayHours: hours, wantedSprayHours: 5, raised: hour(at - hours), namedAs: null },
  }));
  const watched = new Map([['gun-01', span]]);
  return { ...span, settings, findings, before: [], due, watched, total: tallyOf(findings, due, span.to - span.from) };
}

describe('suggested settings', () => {
  const calm = Settings.parse({ smallestChange: 0.1 });
  const keen = Settings.parse({ smallestChange: 0.02 });
  const leads = (hours: number) => [500, 1300, 2100, 2900, 3500, 4200].map((at) => ({ at, hours }));

  test('are those with the most warning within the target', () => {
    const studies = [studyOf(calm, [], leads(10)), studyOf(keen, [900], leads(40))];
    expect(suggestSettings(studies, months, 3).settings).toEqual(keen);
    expect(suggestSettings(studies, months, 1).settings).toEqual(calm);
  });

  test('are the calmest where none keeps the target', () => {
    const studies = [studyOf(keen, [10, 900, 2000], leads(40)), studyOf(calm, [900, 2000], leads(1))];
    expect(suggestSettings(studies, months, 0.5).settings).toEqual(calm);
  });

  test('promise what they did on months that had no say, not on those that chose them', () => {
    // All three false alarms of the keen settings fall into the last month. Whoever has not seen that month chooses
    // them and gets all three; whoever has seen it chooses the calm ones.
    const last = 5 * MONTH_HOURS + 100;
    const studies = [studyOf(calm, [], leads(10)), studyOf(keen, [last, last + 50, last + 90], leads(40))];
    const { fitted, unseen, folds, settings } = suggestSettings(studies, months, 1);
    expect(settings).toEqual(calm);
    expect(fitted.falseAlarms).toBe(0);
    expect(unseen.falseAlarms).toBe(3);
    expect(folds.map((fold) => fold.settings.smallestChange)).toEqual([0.1, 0.1, 0.1, 0.1, 0.02]);
    expect(unseen.gunYears).toBeCloseTo(YEARS, 6);
    expect(unseen.inTime).toBe(6);
  });

  test('need months to hold out', () => {
    expect(() => suggestSettings([studyOf(calm, [], [])], months.slice(0, 2), 1)).toThrow(
      /2 months: expected at least 3/,
    );
    expect(() => suggestSettings([], months, 1)).toThrow(RangeError);
  });
});

test('the grid keeps what it does not vary, also for a gun', () => {
  const base = Settings.parse({
    leadTimeShifts: 7,
    overrides: [
      { gun: 'gun-03', changeLimitExcessAir: 0.15, smallestChange: 0.09 },
      { gun: 'gun-04', smallestChange: 0.09 },
    ],
  });
  const grid = gridOf(base);
  expect(grid).toHaveLength(25);
  expect(new Set(grid.map((one) => `${one.falseAlarmsPerGunYear} ${one.smallestChange}`)).size).toBe(25);
  for (const one of grid) {
    expect(one.leadTimeShifts).toBe(7);
    expect(one.overrides).toEqual([{ gun: 'gun-03', changeLimitExcessAir: 0.15 }]);
    expect(Settings.parse(one)).toEqual(one);
  }
});

test('months are those of the site, cut to the span, over the change to summer time', () => {
  // Source: tz database, Europe/Vienna: UTC+1 until 2026-03-29 01:00 UTC, then UTC+2.
  const found = monthsOf({ from: Date.UTC(2026, 1, 10), to: Date.UTC(2026, 4, 2) }, 'Europe/Vienna');
  expect(found.map(({ from }) => new Date(from).toISOString())).toEqual([
    '2026-02-10T00:00:00.000Z',
    '2026-02-28T23:00:00.000Z',
    '2026-03-31T22:00:00.000Z',
    '2026-04-30T22:00:00.000Z',
  ]);
  expect(found.at(-1)!.to).toBe(Date.UTC(2026, 4, 2));
  expect(monthsOf({ from: 5, to: 5 }, 'UTC')).toEqual([]);
});
