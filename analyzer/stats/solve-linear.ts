/**
 * Solution x of the square linear system A x = b, by LU decomposition with row exchanges.
 *
 * @param matrix A by rows, n·n numbers; left untouched
 * @param right b, n numbers; left untouched
 * @returns x, n numbers
 * @throws {RangeError} if the sizes do not fit or A is singular
 * Source: G. H. Golub & C. F. Van Loan, Matrix Computations, 4th ed. 2013, algorithm 3.4.1.
 * @example
 * solveLinear([2, 1, 1, 3], [3, 5]); // [0.8, 1.4]
 */
export function solveLinear(matrix: ArrayLike<number>, right: ArrayLike<number>): Float64Array {
  const n = right.length;
  if (matrix.length !== n * n)
    throw new RangeError(`matrix of ${matrix.length} numbers: expected ${n * n} for ${n} equations`);
  const x = Float64Array.from(right);
  solveInPlace(Float64Array.from(matrix), x);
  return x;
}

/**
 * The same where both may be overwritten: `x` comes as b and becomes the solution, `a` comes as A.
 *
 * @param a at least n·n numbers, of which the first are A by rows
 * @param x n numbers
 * @throws {RangeError} if A is singular
 */
export function solveInPlace(a: Float64Array, x: Float64Array): void {
  const n = x.length;
  for (let column = 0; column < n; column++) {
    const pivot = pivotRow(a, n, column);
    if (pivot !== column) exchangeRows(a, x, n, pivot, column);
    const head = a[column * n + column]!;
    for (let row = column + 1; row < n; row++) {
      const factor = a[row * n + column]! / head;
      if (factor === 0) continue;
      for (let k = column + 1; k < n; k++) a[row * n + k]! -= factor * a[column * n + k]!;
      x[row]! -= factor * x[column]!;
    }
  }
  for (let row = n - 1; row >= 0; row--) {
    let sum = x[row]!;
    for (let k = row + 1; k < n; k++) sum -= a[row * n + k]! * x[k]!;
    x[row] = sum / a[row * n + row]!;
  }
}

function pivotRow(a: Float64Array, n: number, column: number): number {
  let best = column;
  for (let row = column + 1; row < n; row++)
    if (Math.abs(a[row * n + column]!) > Math.abs(a[best * n + column]!)) best = row;
  const size = Math.abs(a[best * n + column]!);
  if (!(size > 0 && size < Number.POSITIVE_INFINITY))
    throw new RangeError(`singular system: column ${column} has no usable pivot (${size})`);
  return best;
}

function exchangeRows(a: Float64Array, x: Float64Array, n: number, one: number, other: number): void {
  for (let k = 0; k < n; k++) {
    const kept = a[one * n + k]!;
    a[one * n + k] = a[other * n + k]!;
    a[other * n + k] = kept;
  }
  const kept = x[one]!;
  x[one] = x[other]!;
  x[other] = kept;
}
