import type { Look, Span } from '../../../collector/contract/history-look.ts';

export type { Look, Span };

const HOUR_MS = 3_600_000;
/** Source: own choice, one trigger pull of some seconds fills the picture. */
const SHORTEST_MS = 10_000;
/** Source: own choice, what the service answers at most (`endpoints/history.ts`). */
const LONGEST_MS = 20 * 365 * 24 * HOUR_MS;

/**
 * A span that somebody typed, or the sentence that says what is wrong with it.
 *
 * @param from epoch ms; null where what stands there is no date and time
 */
export function typedSpan(from: number | null, to: number | null): Span | string {
  if (from === null) return 'From: expected a date and a time.';
  if (to === null) return 'To: expected a date and a time.';
  if (from < 0) return 'From: expected a time from 1970 on.';
  if (to <= from) return 'The span ends before it begins: expected “to” after “from”.';
  if (to - from < SHORTEST_MS) return `The span is too short: expected at least ${SHORTEST_MS / 1000} seconds.`;
  if (to - from > LONGEST_MS) return 'The span is too long: expected at most 20 years.';
  return { from, to };
}

/** Spans below this tell seconds, ms. Source: own choice. */
export const TOLD_BY_SECONDS_MS = 30 * 60_000;

export const SPANS: readonly { readonly name: string; readonly ms: number | null }[] = [
  { name: 'All', ms: null },
  { name: 'Year', ms: 365 * 24 * HOUR_MS },
  { name: 'Quarter', ms: 91 * 24 * HOUR_MS },
  { name: 'Month', ms: 30 * 24 * HOUR_MS },
  { name: 'Week', ms: 7 * 24 * HOUR_MS },
  { name: 'Day', ms: 24 * HOUR_MS },
  { name: 'Hour', ms: HOUR_MS },
  { name: '5 min', ms: HOUR_MS / 12 },
];

export function searchOf({ gun, other, from, to }: Look): string {
  const asked = new URLSearchParams();
  if (gun !== null) asked.set('gun', gun);
  if (other !== null) asked.set('other', other);
  if (from !== null) asked.set('from', new Date(from).toISOString());
  if (to !== null) asked.set('to', new Date(to).toISOString());
  return `?${asked.toString()}`;
}

/** Nearer (factor below 1) or farther, around a point of the span: 0 its begin, 1 its end. */
export function zoomed({ from, to }: Span, factor: number, around = 0.5): Span {
  const width = Math.min(LONGEST_MS, Math.max(SHORTEST_MS, (to - from) * factor));
  const centre = from + (to - from) * around;
  return begun(Math.round(centre - width * around), Math.round(width));
}

/** Moved along by a share of its own width. */
export function moved({ from, to }: Span, share: number): Span {
  return begun(from + Math.round((to - from) * share), to - from);
}

/**
 * Where fingers bring a span: what was under each stays under it.
 *
 * @param starts one finger's place or two, each a share of the picture's width
 * @param ends where they are now
 */
export function gestured(span: Span, starts: readonly number[], ends: readonly number[]): Span {
  const width = span.to - span.from;
  const [start = 0, otherStart] = starts;
  const [end = start, otherEnd] = ends;
  if (otherStart === undefined || otherEnd === undefined) return moved(span, start - end);
  // Fingers that meet would ask for a span without end.
  const apart = Math.max(0.02, Math.abs(otherEnd - end));
  const factor = Math.abs(otherStart - start) / apart;
  const nearer = Math.min(LONGEST_MS, Math.max(SHORTEST_MS, width * factor));
  const under = span.from + width * ((start + otherStart) / 2);
  return begun(Math.round(under - nearer * ((end + otherEnd) / 2)), Math.round(nearer));
}

/** A span of a length; nothing was read before 1970. */
function begun(from: number, width: number): Span {
  const first = Math.max(0, from);
  return { from: first, to: first + width };
}
