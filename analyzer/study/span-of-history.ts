import { formatTime } from '../../collector/contract/index.ts';
import type { SiteHistory } from './history.ts';
import type { Span } from './study.ts';

/**
 * The span of a history that is asked for.
 *
 * @param from epoch ms, inclusive; null for the begin: readings may be gone whose runs are kept
 * @param to epoch ms, exclusive; null for the end, which is itself within
 * @returns the span; a sentence where nothing can be tried on it
 */
export function spanOfHistory(
  { firstTime, upTo, tracks }: SiteHistory,
  from: number | null,
  to: number | null,
): Span | string {
  const known = `the history goes from ${formatTime(firstTime)} to ${formatTime(upTo)}`;
  if (from !== null && to !== null && to <= from)
    return `found an end at ${formatTime(to)}, expected one after the begin at ${formatTime(from)}: ${known}`;
  if (from !== null && from > upTo)
    return `found a begin at ${formatTime(from)}, expected one before the history ends: ${known}`;
  if (to !== null && to <= firstTime)
    return `found an end at ${formatTime(to)}, expected one after the history begins: ${known}`;
  const span = { from: from ?? firstTime, to: to ?? upTo + 1 };
  const { before, after, isWithin } = runsAround(tracks, span);
  if (isWithin) return span;
  const told = `found no spray run from ${formatTime(span.from)} to ${formatTime(span.to)}`;
  const near = [
    ...(before === null ? [] : [`the last one before began at ${formatTime(before)}`]),
    ...(after === null ? [] : [`the next one began at ${formatTime(after)}`]),
  ];
  return near.length === 0 ? `${told}: no gun has sprayed yet` : `${told}: ${near.join(', ')}`;
}

/** Whether any gun began a run within a span, and when runs began next to it; null where there is none. */
function runsAround(
  tracks: SiteHistory['tracks'],
  { from, to }: Span,
): { readonly before: number | null; readonly after: number | null; readonly isWithin: boolean } {
  let [before, after]: [number | null, number | null] = [null, null];
  for (const { runs } of tracks.values()) {
    const { start } = runs.columns;
    for (let row = 0; row < runs.length; row++) {
      const time = start[row]!;
      if (time >= from && time < to) return { before, after, isWithin: true };
      if (time < from && (before === null || time > before)) before = time;
      if (time >= to && (after === null || time < after)) after = time;
    }
  }
  return { before, after, isWithin: false };
}
