/** Values thinned to buckets of equal length: lowest, mean and highest of each; NaN in buckets without a value. */
export interface Band {
  readonly low: Float64Array;
  readonly mid: Float64Array;
  readonly high: Float64Array;
}

/** Equal stretches of a span of time. */
export interface Buckets {
  readonly from: number;
  readonly widthMs: number;
  readonly count: number;
}

/**
 * The bucket of each time, for all the series that were measured then.
 *
 * @param times epoch ms, any order
 * @returns -1 for those outside the buckets
 */
export function bucketsOf(times: ArrayLike<number>, { from, widthMs, count }: Buckets): Int32Array {
  const places = new Int32Array(times.length);
  for (let index = 0; index < times.length; index++) {
    const bucket = Math.floor((times[index]! - from) / widthMs);
    places[index] = bucket >= 0 && bucket < count ? bucket : -1;
  }
  return places;
}

/**
 * Thins a series to buckets: no peak is lost, as it would be where every n-th value is taken.
 *
 * @param places bucket of each value; below 0: in none
 * @param values one a place; NaN where there is none
 */
export function thin(places: Int32Array, values: ArrayLike<number>, count: number): Band {
  const low = new Float64Array(count).fill(Number.NaN);
  const mid = new Float64Array(count).fill(Number.NaN);
  const high = new Float64Array(count).fill(Number.NaN);
  const counts = new Float64Array(count);
  for (let index = 0; index < places.length; ) {
    const bucket = places[index]!;
    if (bucket < 0) {
      index++;
      continue;
    }
    // Values come in rows of one bucket: what it holds is kept at hand for so long.
    let [seen, lowest, mean, highest] = [counts[bucket]!, low[bucket]!, mid[bucket]!, high[bucket]!];
    for (; index < places.length && places[index] === bucket; index++) {
      const value = values[index]!;
      if (Number.isNaN(value)) continue;
      if (seen === 0) {
        lowest = mean = highest = value;
        seen = 1;
        continue;
      }
      if (value < lowest) lowest = value;
      if (value > highest) highest = value;
      seen++;
      mean += (value - mean) / seen;
    }
    counts[bucket] = seen;
    low[bucket] = lowest;
    mid[bucket] = mean;
    high[bucket] = highest;
  }
  return { low, mid, high };
}

/** What is said now and then and holds until it is said anew; times ascending. */
export interface Held {
  readonly times: readonly number[];
  readonly low: readonly number[];
  readonly mid: readonly number[];
  readonly high: readonly number[];
}

/**
 * Fills stretches in which nothing was said with what was said last before their end, else with what was said next.
 *
 * @param band filled in place
 * @param into buckets to fill, ascending
 * @param mostMs how long a word holds, before and after it
 */
export function holdIn(
  band: Band,
  into: readonly number[],
  said: Held,
  { from, widthMs }: Buckets,
  mostMs: number,
): void {
  let next = 0;
  for (const bucket of into) {
    const end = from + (bucket + 1) * widthMs;
    while (next < said.times.length && said.times[next]! < end) next++;
    if (!Number.isNaN(band.mid[bucket]!)) continue;
    const word = [next - 1, next].find(
      (index) => Math.abs((said.times[index] ?? Number.NaN) - end) <= mostMs && !Number.isNaN(said.mid[index]!),
    );
    if (word === undefined) continue;
    band.low[bucket] = said.low[word]!;
    band.mid[bucket] = said.mid[word]!;
    band.high[bucket] = said.high[word]!;
  }
}
