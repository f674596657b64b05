import type { StationFact } from '../site.ts';

/** How the pressure dew point of a station goes: its usual, what it is now, and since when that is too high. Times epoch ms. */
export interface DewPoint {
  /** Cel; both NaN before the first reading. */
  usual: number;
  now: number;
  time: number;
  /** Time that taught the usual, ms. */
  taughtMs: number;
  /** Since when it has been high; 0 while it is not. */
  since: number;
  /** Place of the open fact in the station's facts, or -1. */
  fact: number;
}

/** Of a station whose dew point has not been read. */
export const startDewPoint = (): DewPoint => ({
  usual: Number.NaN,
  now: Number.NaN,
  time: 0,
  taughtMs: 0,
  since: 0,
  fact: -1,
});

/**
 * Rise over the usual from which air is wet, and to which it is dry again, K; weather alone does half of the first. Below the
 * third, Cel, it is dry all the same. Source of +3 Cel: ISO 8573-1, humidity class 4, what a refrigeration dryer gives; the rest own choice.
 */
const WET = { rise: 6, back: 3, above: 3 };
/** Time constants of what is now and of what is usual, and how long it has to be high, ms. Source: own choice: a few readings, a week of work, longer than a drain. */
const NOW_MS = 10 * 60_000;
const USUAL_MS = 30 * 3_600_000;
const LASTS_MS = 15 * 60_000;
/** How much less a high dew point teaches the usual. Source: own choice: a month of work. */
const HIGH_PULL = 0.1;
/** Time from which the usual is known, ms, and the longest that one reading stands for. Source: own choice, half a shift, and slow nodes. */
const KNOWN_MS = 4 * 3_600_000;
const HOLDS_MS = 10 * 60_000;

/**
 * Takes in one reading of the pressure dew point, and says in the station's facts when air has become wet, and when it is dry again.
 *
 * @param dewpointCel pressure dew point, Cel
 */
export function watchDewPoint(
  dew: DewPoint,
  station: string,
  time: number,
  dewpointCel: number,
  facts: StationFact[],
): void {
  if (Number.isNaN(dew.usual)) {
    dew.usual = dewpointCel;
    dew.now = dewpointCel;
  }
  const passed = dew.time === 0 ? 0 : Math.min(time - dew.time, HOLDS_MS);
  dew.time = time;
  dew.now += (1 - Math.exp(-passed / NOW_MS)) * (dewpointCel - dew.now);
  const rise = dew.now - dew.usual;
  const high = rise > (dew.since === 0 ? WET.rise : WET.back) && dew.now > WET.above && dew.taughtMs >= KNOWN_MS;
  // A plain mean at first, later one that follows the seasons; what stays high becomes the usual in the end.
  const pull = high ? HIGH_PULL : 1;
  dew.taughtMs += pull * passed;
  if (passed > 0) dew.usual += ((pull * passed) / Math.min(dew.taughtMs, USUAL_MS)) * rise;
  if (!high) {
    if (dew.fact >= 0) facts[dew.fact] = { ...(facts[dew.fact] as StationFact & { kind: 'wet-air' }), until: time };
    dew.since = 0;
    dew.fact = -1;
    return;
  }
  if (dew.since === 0) dew.since = time;
  if (dew.fact >= 0 || time - dew.since < LASTS_MS) return;
  dew.fact = facts.length;
  facts.push({
    kind: 'wet-air',
    station,
    time: dew.since,
    noticed: time,
    until: null,
    dewpointCel: dew.now,
    usualCel: dew.usual,
  });
}
