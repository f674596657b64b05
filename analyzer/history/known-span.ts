import type { Store } from '../../collector/index.ts';

/**
 * From the first to the newest that is kept of a gun, readings or spray runs, epoch ms; null where there is neither.
 *
 * Runs are asked too: a folder may hold those of years whose readings are no longer, or never were, there.
 */
export function knownSpan(
  {
    readings,
    runs,
  }: { readonly readings: Pick<Store['readings'], 'stations'>; readonly runs: Pick<Store['runs'], 'span'> },
  gun: string,
): { readonly from: number; readonly to: number } | null {
  const read = readings.stations().find(({ station }) => station === gun);
  const spans = [runs.span(gun), read === undefined ? null : { from: read.firstTime, to: read.lastTime }];
  const kept = spans.filter((span) => span !== null);
  if (kept.length === 0) return null;
  return { from: Math.min(...kept.map(({ from }) => from)), to: Math.max(...kept.map(({ to }) => to)) };
}
