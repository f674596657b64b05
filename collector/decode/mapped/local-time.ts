import { Temporal } from 'temporal-polyfill';

/** How often a clock showed a time: `never` in the hour that spring leaves out, `twice` in the one that autumn repeats. */
export type Shown = 'once' | 'twice' | 'never';

/** What a wall-clock time says. */
export interface LocalInstant {
  /** Epoch ms, rounded; NaN when it is no such time. */
  readonly ms: number;
  readonly shown: Shown;
}

/** A date and a time of day (ISO 8601, extended or basic form). An offset is refused: with one it is no local time. */
const LOCAL = /^(\d{4}-\d\d-\d\d|\d{8})[T ]\d\d(:?\d\d(:?\d\d([.,]\d{1,9})?)?)?$/i;

const NO_TIME: LocalInstant = { ms: Number.NaN, shown: 'once' };

/**
 * The instant of a wall-clock time in a time zone, and whether the clock there ever showed it.
 *
 * In the hour that comes twice in autumn the earlier instant is taken, unless that would lie before `notBefore`; in the hour that
 * spring leaves out the clock is taken to have run on.
 *
 * @param text ISO 8601 without offset, e.g. `2026-03-02T09:10:00.5`
 * @param notBefore epoch ms of the reading before, -Infinity where there is none
 * @example
 * localInstant('2026-03-29 02:10:00', 'Europe/Vienna', -Infinity).shown; // 'never'
 */
export function localInstant(text: string, zone: string, notBefore: number): LocalInstant {
  if (!LOCAL.test(text.trim())) return NO_TIME;
  let plain: Temporal.PlainDateTime;
  try {
    plain = Temporal.PlainDateTime.from(text.trim().replace(' ', 'T'), { overflow: 'reject' });
  } catch (error) {
    if (error instanceof RangeError) return NO_TIME;
    throw error;
  }
  const earlier = plain.toZonedDateTime(zone, { disambiguation: 'earlier' });
  const later = plain.toZonedDateTime(zone, { disambiguation: 'later' });
  if (earlier.epochNanoseconds === later.epochNanoseconds) return { ms: wholeMs(earlier), shown: 'once' };
  if (!later.toPlainDateTime().equals(plain)) return { ms: wholeMs(later), shown: 'never' };
  const first = wholeMs(earlier);
  return { ms: first >= notBefore ? first : wholeMs(later), shown: 'twice' };
}

function wholeMs({ epochNanoseconds }: Temporal.ZonedDateTime): number {
  return Math.round(Number(epochNanoseconds) / 1e6);
}
