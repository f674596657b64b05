import type { Line } from './line.ts';

/** Where a chart's scale ends, and the highest value beyond it, both in the chart's unit. */
export interface Cut {
  readonly top: number;
  readonly highest: number;
}

/**
 * How many times what nine tenths of the values stay below may a chart be high. Source: own choice, because a sensor that is broken for a
 * week reads ten times its usual and makes two years beside it a line along the bottom; wear and leaks stay within three times.
 */
const MOST_TIMES = 6;
/** Share of the values that says what is usual. Source: own choice; see above. */
const USUAL = 0.9;
/** Up to so many times the usual a value is drawn in full where the scale is cut. Source: own choice; see above. */
const FULL_TIMES = 3;

/**
 * Where the scale of a chart is cut, so that few values far above all others do not flatten them.
 *
 * @returns null where the scale takes in everything: nothing stands out so far, or too much does
 */
export function cutScale(lines: readonly Line[]): Cut | null {
  const values = lines
    .flatMap(({ values, band }) => (band === null ? [values] : [values, band.high]))
    .flatMap((column) => column.filter((value) => value != null))
    .sort((left, right) => left - right);
  const highest = values.at(-1);
  const usual = values[Math.ceil(USUAL * values.length) - 1];
  if (highest === undefined || usual === undefined || usual <= 0 || highest <= MOST_TIMES * usual) return null;
  return { top: values.findLast((value) => value <= FULL_TIMES * usual) ?? usual, highest };
}
