/**
 * First row of a table of runs that ends after a time.
 *
 * @param ends epoch ms, the first `length` of them ascending
 * @example
 * firstEndAfter(Float64Array.of(10, 20, 30), 3, 20); // 2
 */
export function firstEndAfter(ends: Float64Array, length: number, time: number): number {
  let low = 0;
  let high = length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ends[middle]! > time) high = middle;
    else low = middle + 1;
  }
  return low;
}
