import { expect, test } from 'vitest';
import type { SiteHistory } from '../../../analyzer/index.ts';
import { spanOfHistory } from '../../../analyzer/study/span-of-history.ts';

const HOUR_MS = 3_600_000;
const at = (hour: number): number => Date.UTC(2026, 2, 3) + hour * HOUR_MS;

/** Read from 6:00 to 22:00, with runs that begin at these hours. */
function historyOf(...hours: readonly number[]): SiteHistory {
  const runs = { length: hours.length, columns: { start: Float64Array.from(hours, at) } };
  const tracks = new Map([['gun-01', { runs }]]);
  return { firstTime: at(6), upTo: at(22), tracks } as unknown as SiteHistory;
}

const history = historyOf(7, 8, 18);

test('a span is as asked for, else from the begin of the history to its end', () => {
  expect(spanOfHistory(history, null, null)).toEqual({ from: at(6), to: at(22) + 1 });
  expect(spanOfHistory(history, at(8), at(18))).toEqual({ from: at(8), to: at(18) });
});

test.each([
  [
    9,
    8,
    /^found an end at 2026-03-03T08:00.* expected one after the begin at 2026-03-03T09:00.* the history goes from/,
  ],
  [9, 9, /expected one after the begin/],
  [23, null, /^found a begin at 2026-03-03T23:00.*, expected one before the history ends: the history goes from/],
  [null, 6, /^found an end at 2026-03-03T06:00.*, expected one after the history begins/],
  [
    9,
    18,
    /^found no spray run from .*T09:00.* to .*T18:00.*: the last one before began at .*T08:00.*, the next one began at .*T18:00/,
  ],
  [19, null, /: the last one before began at \S*T18:00\S*$/],
])('from %s to %s is refused in a sentence', (from, to, sentence) => {
  expect(spanOfHistory(history, from && at(from), to && at(to))).toMatch(sentence);
});

test('a hall that has not sprayed yet says so', () => {
  expect(spanOfHistory(historyOf(), null, null)).toMatch(/: no gun has sprayed yet$/);
});
