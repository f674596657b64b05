/**
 * Age of a reading in s, to a tenth. A reading from a clock that runs ahead counts as new.
 *
 * @param timeMs reading time, epoch ms
 * @param nowMs epoch ms
 */
export function ageSeconds(timeMs: number, nowMs: number): number {
  return Math.round(Math.max(0, nowMs - timeMs) / 100) / 10;
}

/** Source: the wall has to say within 10 s that data is lost; own choice of three intervals, so that one late report is none. */
const LOST_INTERVALS = 3;
const LOST_AT_LEAST_MS = 10_000;

/**
 * Age from which a station's data counts as lost, ms: three of its reporting intervals, at least 10 s.
 *
 * @param intervalMs interval at which it reports at present; null when not known yet
 */
export function lostAfterMs(intervalMs: number | null): number {
  return Math.max(LOST_AT_LEAST_MS, LOST_INTERVALS * (intervalMs ?? 0));
}
