/** Spread of a normal distribution over its median absolute deviation. Source: 1/Φ⁻¹(3/4) = 1.4826. */
const MAD_TO_SIGMA = 1.4826;

/** Below this length insertion sort beats selection. Source: own choice, measured with runs of 5 to 60 readings. */
const SHORT = 48;

/**
 * Median of the first `count` values, which it reorders: the caller's scratch, so that nothing is allocated.
 *
 * @param values scratch, finite in [0, count)
 * @returns the middle value, the mean of the two middle ones when `count` is even, NaN when it is 0
 * @example
 * scratchMedian(Float64Array.of(3, 1, 2), 3); // 2
 */
export function scratchMedian(values: Float64Array, count: number): number {
  if (count === 0) return Number.NaN;
  const middle = count >> 1;
  if (count <= SHORT) {
    insertionSort(values, count);
    return count % 2 === 1 ? values[middle]! : (values[middle - 1]! + values[middle]!) / 2;
  }
  const upper = select(values, count, middle);
  if (count % 2 === 1) return upper;
  let lower = values[0]!;
  for (let index = 1; index < middle; index++) if (values[index]! > lower) lower = values[index]!;
  return (lower + upper) / 2;
}

/**
 * Robust spread of the first `count` values around their median: 1.4826 times the median absolute
 * deviation. Overwrites them.
 *
 * @returns same unit as the values; NaN when `count` is 0, 0 when it is 1
 * Source: Hampel (1974), The influence curve and its role in robust estimation, J. Am. Stat. Assoc. 69.
 * @example
 * scratchSpread(Float64Array.of(1, 2, 3, 4, 100), 5, 3); // 1.4826
 */
export function scratchSpread(values: Float64Array, count: number, median: number): number {
  if (count <= SHORT) return MAD_TO_SIGMA * middleDeviation(values, count, median);
  for (let index = 0; index < count; index++) values[index] = Math.abs(values[index]! - median);
  return MAD_TO_SIGMA * scratchMedian(values, count);
}

/** Median absolute deviation of few values: those next to the median deviate least, so that it is counted from there. */
function middleDeviation(values: Float64Array, count: number, median: number): number {
  if (count === 0) return Number.NaN;
  insertionSort(values, count);
  let above = 0;
  while (above < count && values[above]! < median) above++;
  let below = above - 1;
  let [before, deviation] = [0, 0];
  for (let taken = 0; taken <= count >> 1; taken++) {
    before = deviation;
    const down = below >= 0 ? median - values[below]! : Number.POSITIVE_INFINITY;
    const up = above < count ? values[above]! - median : Number.POSITIVE_INFINITY;
    if (down < up) {
      deviation = down;
      below--;
    } else {
      deviation = up;
      above++;
    }
  }
  return count % 2 === 1 ? deviation : (before + deviation) / 2;
}

function insertionSort(values: Float64Array, count: number): void {
  for (let index = 1; index < count; index++) {
    const value = values[index]!;
    let hole = index - 1;
    while (hole >= 0 && values[hole]! > value) {
      values[hole + 1] = values[hole]!;
      hole--;
    }
    values[hole + 1] = value;
  }
}

/** Hoare's selection: afterwards values[rank] is in its sorted place, none before it larger. */
function select(values: Float64Array, count: number, rank: number): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1]!;
    let left = low;
    let right = high;
    while (left <= right) {
      while (values[left]! < pivot) left++;
      while (values[right]! > pivot) right--;
      if (left <= right) {
        const swap = values[left]!;
        values[left] = values[right]!;
        values[right] = swap;
        left++;
        right--;
      }
    }
    if (rank <= right) high = right;
    else if (rank >= left) low = left;
    else break;
  }
  return values[rank]!;
}
