/**
 * P-values adjusted so that rejecting those below q keeps the expected share of false rejections at most q.
 *
 * @param p p-values, 0 to 1, in any order; independent or positively dependent
 * @returns adjusted p-values in the order of `p`
 * @throws {RangeError} if a value is not within 0 to 1
 * Source: Y. Benjamini & Y. Hochberg, J. R. Statist. Soc. B 57, 1995; as p.adjust(method = "BH") of R.
 * @example
 * benjaminiHochberg([0.01, 0.04, 0.03]); // [0.03, 0.04, 0.04]
 */
export function benjaminiHochberg(p: readonly number[]): number[] {
  const bad = p.findIndex((value) => !(value >= 0 && value <= 1));
  if (bad >= 0) throw new RangeError(`p-value ${bad} is ${p[bad]}: expected 0 to 1`);
  const order = p.map((_, index) => index).sort((a, b) => p[b]! - p[a]!);
  const adjusted = new Array<number>(p.length);
  let smallest = 1;
  for (const [place, index] of order.entries()) {
    smallest = Math.min(smallest, (p[index]! * p.length) / (p.length - place));
    adjusted[index] = smallest;
  }
  return adjusted;
}
