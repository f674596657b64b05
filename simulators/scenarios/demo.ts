import { Temporal } from 'temporal-polyfill';
import { addDays, type ShiftPattern, type ShopDay, shopDay } from '../calendar/shop-day.ts';
import type { FaultPlan } from '../gun/fault.ts';
import { buildHall, type GunStory } from './build-hall.ts';
import type { Hall } from './hall.ts';
import { PLAIN_HALL, type Scenario } from './scenario.ts';
import type { Setting } from './setting.ts';

const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
/** Length of the history. Source: own choice, because it holds two lives of an insert. */
const WEEKS = 8;
const TIMEZONE = 'Europe/Vienna';

const BREAKS = [
  { afterMinutes: 150, minutes: 15 },
  { afterMinutes: 320, minutes: 30 },
];

/** An invented hall: eight guns in four booths on two air lines, one shift a day, then work without end. */
export const DEMO_HALL: Scenario = {
  ...PLAIN_HALL,
  name: 'demo',
  summary:
    'An invented hall with eight guns: one insert worn, seals failed, filters and a fluidizing ring clogging, a sensor off',
  weeks: WEEKS,
  guns: 8,
  lines: 2,
  intervalS: [6],
  idleS: 45,
  slowS: 40,
  pullS: 21,
  gapS: 30,
  unusedChance: 0,
  insertSpread: 0.05,
  gunSpread: 1,
  fleet: [
    { output: 'measured', fitting: 'all' },
    { output: 'measured', fitting: 'all' },
    { output: 'setpoint', fitting: 'all' },
    { output: 'measured', fitting: 'usual' },
    { output: 'setpoint', fitting: 'all' },
    { output: 'measured', fitting: 'usual' },
    { output: 'measured', fitting: 'usual' },
    { output: 'setpoint', fitting: 'all' },
  ],
  newAtStart: 1,
  changeChance: 0.1,
  powders: 3,
  transport: { lost: 0.001, twice: 0, late: 0.005 },
  altitudes: [180],
};

/** Where the demo's clock stands: the shift that contains `now` began about three hours ago, on the hour. */
function currentShift(now: number): { date: string; start: string } {
  const begun = Temporal.Instant.fromEpochMilliseconds(now - 3 * HOUR_MS).toZonedDateTimeISO(TIMEZONE);
  return { date: begun.toPlainDate().toString(), start: `${String(begun.hour).padStart(2, '0')}:00` };
}

/** Five working days a week, so that today is one of them, whatever weekday it is. */
function weekdaysUpTo(today: number): number[] {
  return Array.from({ length: 5 }, (_, back) => ((today - 1 - back + 14) % 7) + 1);
}

/** The demo's hall and its days. */
export interface Demo {
  readonly hall: Hall;
  /** History up to today, then round the clock, every day, without end. */
  readonly days: () => Generator<ShopDay>;
}

/**
 * The demo as it stands at `now`: eight weeks of history, and open causes at this moment.
 *
 * gun-01 insert nearly at its limit · gun-02 seals failed three shifts ago · gun-03 conveying filter clogging ·
 * gun-04 flow sensor off since yesterday · gun-07 fitted with sensors half an hour ago, still learning · gun-08 fluidizing ring
 * loaded · the others fine; line 2 had a pressure sag last week.
 */
export function demoPlan(now: number, seed = 1): Demo {
  const { date, start } = currentShift(now);
  const today = Temporal.PlainDate.from(date).dayOfWeek;
  const pattern: ShiftPattern = { starts: [start], hours: 8, breaks: BREAKS, weekdays: weekdaysUpTo(today) };
  const setting: Setting = {
    siteId: 'demo-hall',
    siteName: 'Demo hall',
    timezone: TIMEZONE,
    firstDate: addDays(date, -7 * WEEKS),
    days: 7 * WEEKS,
    pattern,
    daysOff: new Set(),
    altitude: 180,
  };
  const hall = buildHall(DEMO_HALL, seed, {
    setting,
    storyOf: (gun, drawn) => demoStory(gun, drawn, now),
    supplyEvents: [{ kind: 'sag', start: now - 9.1 * DAY_MS, end: now - 7.9 * DAY_MS, size: 2.8, line: 1 }],
  });
  // From today on the hall works round the clock, so that guns spray at any hour; breaks every eight hours.
  const breaks = [0, 8, 16].flatMap((hours) =>
    BREAKS.map(({ afterMinutes, minutes }) => ({ afterMinutes: hours * 60 + afterMinutes, minutes })),
  );
  const endless: ShiftPattern = { starts: [start], hours: 24, breaks, weekdays: [1, 2, 3, 4, 5, 6, 7] };
  function* days(): Generator<ShopDay> {
    yield* hall.work.days;
    for (let day = date; ; day = addDays(day, 1)) yield shopDay(endless, TIMEZONE, day, new Set());
  }
  return { hall, days };
}

/** What is going on at each gun of the demo. Working days pass 5 in 7; a gun sprays about 2.7 h in one. */
function demoStory(gun: number, drawn: GunStory, now: number): GunStory {
  const insert = (...daysAgo: number[]): GunStory['maintenance'] => ({
    ...drawn.maintenance,
    insert: { by: 'plan', times: daysAgo.map((days) => now - days * DAY_MS) },
  });
  const fault = (cause: FaultPlan['cause'], plan: Partial<FaultPlan>): FaultPlan => ({
    id: `gun-0${gun + 1}/${cause}`,
    cause,
    gun,
    shape: 'ramp',
    onset: now - 14 * DAY_MS,
    size: 0.2,
    sprayHours: 30,
    mendAfter: 1e6,
    logged: true,
    wrongFirst: null,
    ...plan,
  });
  const story = { ...drawn, fresh: true, wornShare: 0, traps: [] };
  switch (gun) {
    case 0:
      return { ...story, plans: [], maintenance: insert(31) };
    case 1:
      return {
        ...story,
        plans: [fault('pump-seals', { shape: 'step', onset: now - 3.2 * DAY_MS, size: 0.13 })],
        maintenance: insert(34, 11),
      };
    case 2:
      return {
        ...story,
        plans: [fault('conveying-filter', { onset: now - 16 * DAY_MS, size: 0.24, sprayHours: 36 })],
        maintenance: insert(36, 9),
      };
    case 3:
      return {
        ...story,
        plans: [
          fault('sensor', {
            shape: 'step',
            onset: now - 1.3 * DAY_MS,
            size: 0.12,
            sensor: { channel: 'conveying/flow', kind: 'zero' },
          }),
        ],
        maintenance: insert(30, 6),
      };
    case 6:
      return {
        ...story,
        plans: [fault('no-data', { shape: 'span', onset: 0, mendAfter: (now - 0.6 * HOUR_MS) / HOUR_MS })],
        maintenance: insert(33, 2),
      };
    case 7:
      return {
        ...story,
        plans: [fault('fluidizing-ring', { onset: now - 20 * DAY_MS, size: 0.38, sprayHours: 42 })],
        maintenance: insert(31, 7),
      };
    default:
      return { ...story, plans: [], maintenance: insert(33 - gun, gun) };
  }
}
