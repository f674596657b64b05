import type { Span } from './look.ts';

/** A stretch without anything that a line does not pass over, ms. Source: own choice, longer than breaks between shifts, shorter than a night. */
const PAUSE_MS = 6 * 3_600_000;
/** A shorter stretch, in points of the picture, would break a line into what looks like dashes, and those tell lines apart. Source: own choice, a fortieth of a picture. */
const MOST_POINTS = 8;

/**
 * Long stretches in which nothing was measured: a line is not drawn over them, so that it shows that the gun stood.
 *
 * @param times epoch ms, ascending
 * @param widthMs length of the stretch that one point stands for; neighbours are no pause however long it is
 * @returns from one time to the next, neither belonging to it
 */
export function pausesIn(times: readonly number[], widthMs: number): Span[] {
  const least = Math.max(PAUSE_MS, MOST_POINTS * widthMs);
  return times.flatMap((to, index) => {
    const from = times[index - 1];
    return from !== undefined && to - from > least ? [{ from, to }] : [];
  });
}
