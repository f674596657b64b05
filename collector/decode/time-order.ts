const DIGIT_BITS = 11;
const BUCKETS = 1 << DIGIT_BITS;

/**
 * The order in which rows have to be read to be ascending in time; rows of the same time keep their order.
 *
 * Radix sort over 11-bit digits of the time since the earliest: linear in the number of rows, where
 * comparing would take seconds for millions of shuffled rows.
 *
 * @param times epoch ms, whole
 * @returns row numbers
 * @example
 * orderByTime(Float64Array.of(30, 10, 20)); // Uint32Array [1, 2, 0]
 */
export function orderByTime(times: Float64Array): Uint32Array {
  const rows = times.length;
  let order = Uint32Array.from({ length: rows }, (_, row) => row);
  let earliest = Number.POSITIVE_INFINITY;
  let latest = Number.NEGATIVE_INFINITY;
  for (let row = 0; row < rows; row++) {
    const time = times[row] as number;
    if (time < earliest) earliest = time;
    if (time > latest) latest = time;
  }
  let next = new Uint32Array(rows);
  const starts = new Uint32Array(BUCKETS);
  for (let unit = 1; unit <= latest - earliest; unit *= BUCKETS) {
    starts.fill(0);
    for (let row = 0; row < rows; row++) {
      const bucket = Math.floor(((times[row] as number) - earliest) / unit) % BUCKETS;
      starts[bucket] = (starts[bucket] as number) + 1;
    }
    let total = 0;
    for (let bucket = 0; bucket < BUCKETS; bucket++) {
      const count = starts[bucket] as number;
      starts[bucket] = total;
      total += count;
    }
    for (let index = 0; index < rows; index++) {
      const row = order[index] as number;
      const bucket = Math.floor(((times[row] as number) - earliest) / unit) % BUCKETS;
      const place = starts[bucket] as number;
      starts[bucket] = place + 1;
      next[place] = row;
    }
    [order, next] = [next, order];
  }
  return order;
}
