/** Points that a line passes over. Source: own choice: the hourly word of the analysis and the runs that it speaks of may fall into two neighbours. */
const MOST_POINTS = 2;

/**
 * A series whose short gaps its line passes over: what was measured in neighbouring points is no gap, what is missing for longer is one.
 *
 * @param values null where nothing was measured
 * @returns undefined in place of each null that the line passes over
 */
export function bridged(values: readonly (number | null)[]): (number | null | undefined)[] {
  const shown: (number | null | undefined)[] = [...values];
  for (let start = 0; start < values.length; start++) {
    if (values[start] !== null) continue;
    let end = start;
    while (end < values.length && values[end] === null) end++;
    if (start > 0 && end < values.length && end - start <= MOST_POINTS) shown.fill(undefined, start, end);
    start = end;
  }
  return shown;
}
