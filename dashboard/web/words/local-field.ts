import { offsetMinutes } from './site-time.ts';

/** A date and clock time, with seconds or without; and, where a clock time comes twice, the offset of the one that is meant. */
const FIELD = /^(\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d)?)([+-]\d\d:\d\d)?$/;

const DAY_MS = 86_400_000;

/** "+02:00", "-05:00". */
function offsetText(minutes: number): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const size = Math.abs(minutes);
  return `${minutes < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** An instant as the plant's clock showed it, with its offset: `2026-10-25T02:30:00.000+02:00` (ISO 8601). */
export function isoWithOffset(ms: number, timezone: string): string {
  const offset = offsetMinutes(ms, timezone);
  return `${new Date(ms + offset * 60_000).toISOString().slice(0, -1)}${offsetText(offset)}`;
}

/** What a form field for date and time takes of a value: `YYYY-MM-DDTHH:MM` or with `:SS`; '' where it is none. */
export function bareField(value: string): string {
  return FIELD.exec(value)?.[1] ?? '';
}

/** The instants, epoch ms, at which the plant's clock shows what a field says: two where clocks are put back, none where they are put on. */
export function instantsOf(value: string, timezone: string): number[] {
  const asUtc = Date.parse(`${bareField(value)}Z`);
  if (Number.isNaN(asUtc)) return [];
  const offsets = new Set([asUtc - DAY_MS, asUtc + DAY_MS].map((near) => offsetMinutes(near, timezone)));
  return [...offsets]
    .map((offset) => ({ offset, ms: asUtc - offset * 60_000 }))
    .filter(({ offset, ms }) => offsetMinutes(ms, timezone) === offset)
    .map(({ ms }) => ms)
    .sort((left, right) => left - right);
}

/** An instant as a field's value; the second of two that the clock shows alike carries its offset. */
export function localFieldValue(ms: number, timezone: string, withSeconds = false): string {
  const iso = isoWithOffset(ms, timezone);
  const bare = iso.slice(0, withSeconds ? 19 : 16);
  const [, second] = instantsOf(bare, timezone);
  return second !== undefined && second <= ms ? bare + iso.slice(-6) : bare;
}

/**
 * What a field's value says, as an instant in epoch ms; null when it is no date, or none with that offset. Of a clock time that comes
 * twice (daylight saving ends) without an offset it is the first; one that is skipped counts on from before.
 */
export function fromLocalField(value: string, timezone: string): number | null {
  const [, bare, offset] = FIELD.exec(value) ?? [];
  const asUtc = Date.parse(`${bare ?? ''}Z`);
  if (Number.isNaN(asUtc)) return null;
  const instants = instantsOf(value, timezone);
  if (offset !== undefined) return instants.find((ms) => isoWithOffset(ms, timezone).endsWith(offset)) ?? null;
  return instants[0] ?? asUtc - offsetMinutes(asUtc - DAY_MS, timezone) * 60_000;
}

/** What a field says after its date or clock was typed anew: which of two was meant still holds where the new time comes twice, too. */
export function retyped(before: string, bare: string, timezone: string): string {
  const offset = FIELD.exec(before)?.[2] ?? '';
  return fromLocalField(bare + offset, timezone) === null ? bare : bare + offset;
}
