/**
 * Values that no line joins to another: nothing was measured on either side.
 *
 * @param values null where the line is broken, undefined where it goes on
 * @returns their places, ascending
 */
export function aloneAt(values: readonly (number | null | undefined)[]): number[] {
  const alone: number[] = [];
  // Place of the newest value, while nothing has broken the line before it.
  let candidate: number | null = null;
  let isBroken = true;
  for (const [place, value] of values.entries()) {
    if (value === undefined) continue;
    if (value === null) {
      if (candidate !== null) alone.push(candidate);
      candidate = null;
      isBroken = true;
      continue;
    }
    candidate = isBroken ? place : null;
    isBroken = false;
  }
  return candidate === null ? alone : [...alone, candidate];
}
