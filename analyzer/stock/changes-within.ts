/**
 * How many changes of one part one gun will need within a time: probabilities of 0, 1, 2, … changes.
 *
 * The first change comes when the fitted part ends, each further one after a whole new life. The times are convolved on a grid.
 *
 * @param first probability that the fitted part ends within a time from now
 * @param next the same for a new one; null where nothing is known: then one change is the most that is reckoned with
 * @param span the time, in the unit of both, >= 0
 * @returns probabilities that sum to 1
 * Source: W. Feller, An Introduction to Probability Theory II, 1971, chapter XI (delayed renewal process): P(N >= k) is
 * the k-fold convolution at the span.
 * @example
 * changesCount((t) => 1 - Math.exp(-t), (t) => 1 - Math.exp(-t), 2)[0]; // 0.1353353
 */
export function changesCount(
  first: (time: number) => number,
  next: ((time: number) => number) | null,
  span: number,
): number[] {
  if (!(span > 0)) {
    const atOnce = first(0);
    return atOnce > 0 ? [1 - atOnce, atOnce] : [1];
  }
  const step = span / CELLS;
  let reached = Array.from({ length: CELLS + 1 }, (_, cell) => first(cell * step));
  const atLeast = [1, reached[CELLS]!];
  const fresh = next === null ? null : Array.from({ length: CELLS + 1 }, (_, cell) => next(cell * step));
  while (fresh !== null && atLeast.at(-1)! > NEGLIGIBLE && atLeast.length <= MOST) {
    reached = convolve(reached, fresh);
    atLeast.push(reached[CELLS]!);
  }
  return atLeast.map((chance, count) => Math.max(0, chance - (atLeast[count + 1] ?? 0)));
}

/** Grid cells of the span. Source: own choice; the trapezoid then errs by less than 0.0005 against the Poisson distribution. */
const CELLS = 96;
const NEGLIGIBLE = 1e-6;
/** Changes of one part on one gun. Source: own choice, because a lead time holds a few lives at most. */
const MOST = 60;

/** Distribution of the sum of two times whose distributions are given on the same grid from 0 on. */
function convolve(one: readonly number[], other: readonly number[]): number[] {
  return one.map((_, end) => {
    let sum = one[0]! * other[end]!;
    for (let cell = 1; cell <= end; cell++) {
      const mass = one[cell]! - one[cell - 1]!;
      sum += (mass * (other[end - cell]! + other[end - cell + 1]!)) / 2;
    }
    return sum;
  });
}
