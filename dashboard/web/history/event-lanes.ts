import type { Mark } from './event-rows.ts';

/** Lanes beyond this share the last one. Source: own choice, because a gun has seldom more than a few findings at once. */
const MOST = 5;

/**
 * Lanes for what happened at the same time, so that no mark hides another: each goes into the first lane that is free.
 *
 * @returns a lane for each mark, from 0, and how many there are, at least one
 */
export function lanesOf(marks: readonly Pick<Mark, 'from' | 'to'>[]): {
  readonly lanes: readonly number[];
  readonly count: number;
} {
  const freeFrom: number[] = [];
  const lanes = marks.map(() => 0);
  const order = marks.map((_, place) => place).sort((left, right) => marks[left]!.from - marks[right]!.from);
  for (const place of order) {
    const { from, to } = marks[place]!;
    const free = freeFrom.findIndex((end) => end <= from);
    const lane = free >= 0 ? free : Math.min(freeFrom.length, MOST - 1);
    freeFrom[lane] = Math.max(freeFrom[lane] ?? 0, to);
    lanes[place] = lane;
  }
  return { lanes, count: Math.max(1, freeFrom.length) };
}
