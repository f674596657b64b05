const DIGIT_BITS = 11;
const BUCKETS = 1 << DIGIT_BITS;
const MASK = BUCKETS - 1;
/** Times are split into a low and a high word of two digits each: 44 bits, 557 years in ms. */
const WORD = BUCKETS * BUCKETS;

/** Rows behind a later one are sorted apart up to one in so many. Source: own choice: exports are in order but for what was sent late. */
const ROWS_A_LATE = 16;

/**
 * The order in which rows have to be read to be ascending in time; rows of the same time keep their order.
 *
 * Radix sort over 11-bit digits of the time since the earliest: linear in the number of rows, where
 * comparing would take seconds for millions of shuffled rows. Where few rows are late only those are sorted.
 *
 * @param times epoch ms, whole, less than 557 years apart
 * @returns row numbers
 * @throws {RangeError} if times are further apart
 * @example
 * orderByTime(Float64Array.of(30, 10, 20)); // [1, 2, 0]
 */
export function orderByTime(times: Float64Array): Uint32Array {
  const rows = times.length;
  let earliest = Number.POSITIVE_INFINITY;
  let latest = Number.NEGATIVE_INFINITY;
  let late = 0;
  for (let row = 0; row < rows; row++) {
    const time = times[row] as number;
    if (time < latest) late++;
    else latest = time;
    if (time < earliest) earliest = time;
  }
  if (latest - earliest >= WORD * WORD) throw new RangeError('times are more than 557 years apart');
  return late * ROWS_A_LATE <= rows ? takeInLate(times, late) : sortAll(times, earliest);
}

/** Sorts the rows that are behind a later one, and takes them in among the others, which are in order. */
function takeInLate(times: Float64Array, late: number): Uint32Array {
  const rows = times.length;
  const order = new Uint32Array(rows);
  const lateRows = new Uint32Array(late);
  const lateTimes = new Float64Array(late);
  let latest = Number.NEGATIVE_INFINITY;
  let [count, inOrder] = [0, 0];
  for (let row = 0; row < rows; row++) {
    const time = times[row] as number;
    if (time >= latest) {
      latest = time;
      // For now from the end of the room that the late ones leave.
      order[late + inOrder++] = row;
      continue;
    }
    lateRows[count] = row;
    lateTimes[count++] = time;
  }
  if (late === 0) return order;
  const lateOrder = orderByTime(lateTimes);
  // Of one time the late row came after the other; and none is later than the last of the others.
  for (let [at, next] = [0, 0]; next < late; ) {
    const row = order[late - next + at] as number;
    const first = lateOrder[next] as number;
    if ((lateTimes[first] as number) < (times[row] as number)) {
      order[at++] = lateRows[first] as number;
      next++;
    } else order[at++] = row;
  }
  return order;
}

function sortAll(times: Float64Array, earliest: number): Uint32Array {
  const rows = times.length;
  let order = new Uint32Array(rows);
  const low = new Uint32Array(rows);
  const high = new Uint32Array(rows);
  for (let row = 0; row < rows; row++) {
    const sinceEarliest = (times[row] as number) - earliest;
    const upper = Math.floor(sinceEarliest / WORD);
    order[row] = row;
    high[row] = upper;
    low[row] = sinceEarliest - upper * WORD;
  }
  let spare = new Uint32Array(rows);
  for (const [word, shift] of [
    [low, 0],
    [low, DIGIT_BITS],
    [high, 0],
    [high, DIGIT_BITS],
  ] as const) {
    if (!sortByDigit(word, shift, order, spare)) continue;
    [order, spare] = [spare, order];
  }
  return order;
}

/** One pass from `order` into `sorted`. @returns false when all rows have the same digit and nothing was moved */
function sortByDigit(word: Uint32Array, shift: number, order: Uint32Array, sorted: Uint32Array): boolean {
  const starts = new Uint32Array(BUCKETS);
  for (let row = 0; row < word.length; row++) {
    const digit = ((word[row] as number) >>> shift) & MASK;
    starts[digit] = (starts[digit] as number) + 1;
  }
  let total = 0;
  for (let digit = 0; digit < BUCKETS; digit++) {
    const count = starts[digit] as number;
    if (count === word.length) return false;
    starts[digit] = total;
    total += count;
  }
  for (let index = 0; index < order.length; index++) {
    const row = order[index] as number;
    const digit = ((word[row] as number) >>> shift) & MASK;
    const place = starts[digit] as number;
    starts[digit] = place + 1;
    sorted[place] = row;
  }
  return true;
}
