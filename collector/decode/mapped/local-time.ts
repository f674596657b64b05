import { Temporal } from 'temporal-polyfill';

/**
 * The instant of a wall-clock time in a time zone.
 *
 * In the hour that comes twice in autumn the earlier instant is taken, unless that would lie before `notBefore`; in the hour that
 * spring leaves out the clock is taken to have run on.
 *
 * @param text ISO 8601 without offset, e.g. `2026-03-02T09:10:00.5`
 * @param notBefore epoch ms of the reading before, -Infinity where there is none
 * @returns epoch ms, rounded; NaN when it is no such time
 * @example
 * localTime('2026-03-02 09:10:00', 'Europe/Vienna', -Infinity); // 1772439000000
 */
export function localTime(text: string, zone: string, notBefore: number): number {
  let plain: Temporal.PlainDateTime;
  try {
    plain = Temporal.PlainDateTime.from(text.trim().replace(' ', 'T'), { overflow: 'reject' });
  } catch (error) {
    if (error instanceof RangeError) return Number.NaN;
    throw error;
  }
  const earlier = plain.toZonedDateTime(zone, { disambiguation: 'compatible' });
  const first = Math.round(Number(earlier.epochNanoseconds) / 1e6);
  if (first >= notBefore) return first;
  const later = plain.toZonedDateTime(zone, { disambiguation: 'later' });
  return Math.round(Number(later.epochNanoseconds) / 1e6);
}
