import type { FindingBook, OpenFinding } from './finding-book.ts';

const HOUR = 3_600_000;
/** What was told so shortly before it came again is one trouble that comes and goes. Source: own choice, a day. */
const AGAIN_MS = 24 * HOUR;
/**
 * How long such a trouble has to be away before it is over: one finding, not one for each time. Missing air stops the gun, and is over sooner.
 * Source: ISA-18.2 and IEC 62682, no chattering alarms; times are own choice, a night and the first hours of a shift, and two hours.
 */
const QUIET_MS = { sensor: 20 * HOUR, air: 2 * HOUR };

/**
 * True while a finding on a sensor, or on missing air, is kept open though what it is about is not there just now: it was told within a day before,
 * and has not been away for long enough yet.
 *
 * @param open as of the last time that it was there
 */
export function comesAndGoes(book: FindingBook, open: OpenFinding, now: number): boolean {
  if (open.subject === 'silence' || open.subject === 'clock') return false;
  if (now - open.asOf >= (open.subject === 'no-air' ? QUIET_MS.air : QUIET_MS.sensor)) return false;
  return book.closed.some(
    ({ gun, subject, cleared }) => gun === open.gun && subject === open.subject && open.raised - cleared! < AGAIN_MS,
  );
}
