import { PLAIN_HALL, type Scenario } from './scenario.ts';

/** Spray hours after which a healthy hall's inserts go, by the calendar. Source: handbook section 2, 50–65 spray hours. */
const CHANGED_AFTER = 60;
/** Days for that at two shifts' worth of pulls in one; excess air at which PLAIN_HALL's inserts are at their limit. Source: own choice, seen on simulated halls. */
const CHANGED_DAYS = 35;
const LIMIT_EXCESS_AIR = 0.2;
/** Share of the smallest change that the usual insert has lost when it goes: the quickest then are about at it. Source: own choice. */
const USUAL_SHARE = 0.75;

/**
 * A hall in which no finding against a part is right: inserts go by the calendar before their wear is worth a visit, and the last of
 * it is near that. Guns, powders, lots, operators, weather and clocks are as messy as in a plain hall. Reports come every ten seconds
 * and pulls are long, so that many gun-years can be simulated.
 *
 * @param smallestChange excess air that is worth a visit, as the settings state it
 */
export function healthyHall(smallestChange: number): Scenario {
  const wornShare = (USUAL_SHARE * smallestChange) / LIMIT_EXCESS_AIR;
  return {
    ...PLAIN_HALL,
    name: 'healthy',
    summary: 'Nothing is wrong with any part, and inserts wear less than is worth a visit',
    weeks: 26,
    guns: 8,
    newAtStart: 1,
    lifeSprayHours: CHANGED_AFTER / wornShare,
    insertSpread: 0.1,
    abrasive: 1.2,
    maintenance: { insert: { by: 'calendar', days: CHANGED_DAYS }, unlogged: 0, refit: 0.4, inspections: 0.04 },
    intervalS: [10],
    slowS: 30,
    idleS: 60,
    pullS: 30,
    gapS: 30,
    traps: ['hose-change', 'daylight-saving', 'shut-down'],
  };
}
