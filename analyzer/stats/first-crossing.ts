/**
 * Time at which a series first reaches a level from below, by a straight line between the two readings around it: the
 * pseudo failure time of a unit whose wear was read now and then.
 *
 * @param times ascending
 * @param values as many, finite
 * @returns time in the unit of `times`, or null when the level was not reached (a censored unit)
 * @throws {RangeError} if sizes differ
 * Source: W. Q. Meeker & L. A. Escobar, Statistical Methods for Reliability Data, 1998, section 13.8.
 * @example
 * firstCrossing([0, 10, 20], [1, 1.5, 2.5], 2); // 15
 */
export function firstCrossing(times: ArrayLike<number>, values: ArrayLike<number>, level: number): number | null {
  if (times.length !== values.length)
    throw new RangeError(`${times.length} times and ${values.length} values: expected as many`);
  if (times.length > 0 && values[0]! >= level) return times[0]!;
  for (let i = 1; i < times.length; i++) {
    if (values[i]! < level) continue;
    const share = (level - values[i - 1]!) / (values[i]! - values[i - 1]!);
    return times[i - 1]! + share * (times[i]! - times[i - 1]!);
  }
  return null;
}
