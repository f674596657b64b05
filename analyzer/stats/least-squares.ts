import { solveLinear } from './solve-linear.ts';

/** A fitted linear model y = X·coefficients. */
export interface LinearFit {
  readonly coefficients: Float64Array;
  readonly residuals: Float64Array;
  /** Weighted sum of squared residuals. */
  readonly squares: number;
  /** (X'WX)^-1 by rows: times the residual variance it is the coefficients' covariance. */
  readonly unscaledCovariance: Float64Array;
}

/**
 * Weighted least squares for a few columns. Columns are scaled to unit length and centred on nothing, then the normal
 * equations of an orthogonal (Gram–Schmidt, done twice) basis are solved, so that nearly parallel columns keep their digits.
 *
 * @param rows one array of p numbers an observation
 * @param y as many numbers
 * @param weights >= 0, as many; default all 1
 * @throws {RangeError} if sizes differ, there are fewer observations than columns or the columns are dependent
 * Source: Å. Björck, Numerical Methods for Least Squares Problems, 1996, section 2.4 (Gram–Schmidt with reorthogonalisation).
 * @example
 * leastSquares([[1, 0], [1, 1], [1, 2]], [1, 3, 5]).coefficients; // [1, 2]
 */
export function leastSquares(
  rows: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
  weights?: ArrayLike<number>,
): LinearFit {
  const n = rows.length;
  const p = rows[0]?.length ?? 0;
  if (p === 0 || n < p || y.length !== n || (weights && weights.length !== n) || rows.some((row) => row.length !== p))
    throw new RangeError(
      `${n} rows of ${p} columns, ${y.length} values: expected as many values as rows, not fewer than columns`,
    );
  const root = Float64Array.from({ length: n }, (_, i) => Math.sqrt(weights ? weights[i]! : 1));
  const basis: Float64Array[] = [];
  const upper = new Float64Array(p * p);
  for (let column = 0; column < p; column++) {
    const q = Float64Array.from({ length: n }, (_, i) => root[i]! * rows[i]![column]!);
    const before = length(q);
    for (let pass = 0; pass < 2; pass++)
      for (const [k, earlier] of basis.entries()) {
        const along = dot(q, earlier);
        upper[k * p + column]! += along;
        for (let i = 0; i < n; i++) q[i]! -= along * earlier[i]!;
      }
    const rest = length(q);
    if (!(rest > 1e-12 * before)) throw new RangeError(`column ${column} depends on the columns before it`);
    upper[column * p + column] = rest;
    for (let i = 0; i < n; i++) q[i]! /= rest;
    basis.push(q);
  }
  const right = Float64Array.from({ length: n }, (_, i) => root[i]! * y[i]!);
  const coefficients = solveLinear(
    upper,
    basis.map((q) => dot(q, right)),
  );
  const residuals = Float64Array.from(rows, (row, i) => y[i]! - dot(coefficients, row));
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (root[i]! * residuals[i]!) ** 2;
  return { coefficients, residuals, squares, unscaledCovariance: inverseGram(upper, p) };
}

/** (R'R)^-1 of an upper triangle R. */
function inverseGram(upper: Float64Array, p: number): Float64Array {
  const inverse = Array.from({ length: p }, (_, k) =>
    solveLinear(
      upper,
      Float64Array.from({ length: p }, (_, i) => +(i === k)),
    ),
  );
  const product = new Float64Array(p * p);
  for (let i = 0; i < p; i++)
    for (let j = 0; j < p; j++) for (let k = 0; k < p; k++) product[i * p + j]! += inverse[k]![i]! * inverse[k]![j]!;
  return product;
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

function length(a: Float64Array): number {
  return Math.sqrt(dot(a, a));
}
