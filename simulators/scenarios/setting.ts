import { addDays, type ShiftPattern } from '../calendar/shop-day.ts';
import { Random } from '../random.ts';
import type { Scenario } from './scenario.ts';

/** When and where a hall's story plays. */
export interface Setting {
  readonly siteId: string;
  readonly siteName: string;
  readonly timezone: string;
  /** First local day. */
  readonly firstDate: string;
  readonly days: number;
  readonly pattern: ShiftPattern;
  readonly daysOff: ReadonlySet<string>;
  readonly altitude: number;
}

const TIMEZONES = ['Europe/Vienna', 'America/Chicago', 'Europe/Lisbon', 'Asia/Tokyo'] as const;

/** Draws when and where: start date, time zone, holidays, a shut-down of two weeks where the scenario has one. */
export function drawSetting(scenario: Scenario, seed: number): Setting {
  const random = new Random(seed, 'setting');
  const clocksMove = scenario.traps.includes('daylight-saving');
  // Where clocks must move within the story it begins in February, some weeks before the last Sunday of March.
  const firstDate = addDays('2025-01-06', 7 * (clocksMove ? random.integer(4, 7) : random.integer(0, 51)));
  const daysOff = new Set<string>();
  const days = scenario.weeks * 7;
  for (let count = Math.round(scenario.weeks / 4); count > 0; count--)
    daysOff.add(addDays(firstDate, random.integer(3, days - 1)));
  if (scenario.traps.includes('shut-down')) {
    const from = 7 * Math.floor(scenario.weeks * random.uniform(0.4, 0.6));
    for (let day = 0; day < 14; day++) daysOff.add(addDays(firstDate, from + day));
  }
  const number = random.integer(10, 99);
  return {
    siteId: `hall-${number}`,
    siteName: `Hall ${number}`,
    timezone: clocksMove ? 'Europe/Vienna' : random.pick(TIMEZONES),
    firstDate,
    days,
    pattern: {
      starts: scenario.shifts === 2 ? ['06:00', '14:00'] : ['06:00'],
      hours: 8,
      breaks: [
        { afterMinutes: 180, minutes: 15 },
        { afterMinutes: 330, minutes: 30 },
      ],
      weekdays: [1, 2, 3, 4, 5],
    },
    daysOff,
    altitude: random.pick(scenario.altitudes),
  };
}
