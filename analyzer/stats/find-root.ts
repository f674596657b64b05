/**
 * Root of a continuous function between two points where its sign differs, by Brent's method
 * (simple-statistics bisects to an absolute tolerance: too slow where one value costs a linear system).
 *
 * @param f function of one number
 * @param low, high ends of the bracket; f(low) and f(high) must differ in sign or one be 0
 * @param tolerance accepted error of the root, absolute; default 1e-12 times the size of the bracket's larger end
 * @returns x with f(x) = 0 within the tolerance
 * @throws {RangeError} if the ends do not bracket a root or f is not a number there
 * Source: R. P. Brent, Algorithms for Minimization Without Derivatives, 1973, chapter 4.
 * @example
 * findRoot((x) => x * x - 2, 0, 2); // 1.41421356237
 */
export function findRoot(f: (x: number) => number, low: number, high: number, tolerance?: number): number {
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  if (!(fa * fb <= 0)) throw new RangeError(`no change of sign between ${low} (${fa}) and ${high} (${fb})`);
  let c = a;
  let fc = fa;
  let step = b - a;
  let previous = step;
  const accepted = tolerance ?? 1e-12 * Math.max(Math.abs(low), Math.abs(high));
  for (let round = 0; round < 200; round++) {
    if (Math.abs(fc) < Math.abs(fb)) {
      [a, b, c] = [b, c, b];
      [fa, fb, fc] = [fb, fc, fb];
    }
    const near = 2 * Number.EPSILON * Math.abs(b) + accepted / 2;
    const half = (c - b) / 2;
    if (Math.abs(half) <= near || fb === 0) return b;
    if (Math.abs(previous) >= near && Math.abs(fa) > Math.abs(fb)) {
      const s = fb / fa;
      let p = 2 * half * s;
      let q = 1 - s;
      if (a !== c) {
        const r = fb / fc;
        const t = fa / fc;
        p = s * (2 * half * t * (t - r) - (b - a) * (r - 1));
        q = (t - 1) * (r - 1) * (s - 1);
      }
      if (p > 0) q = -q;
      p = Math.abs(p);
      if (2 * p < Math.min(3 * half * q - Math.abs(near * q), Math.abs(previous * q))) {
        previous = step;
        step = p / q;
      } else {
        step = half;
        previous = half;
      }
    } else {
      step = half;
      previous = half;
    }
    a = b;
    fa = fb;
    b += Math.abs(step) > near ? step : Math.sign(half) * near;
    fb = f(b);
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      previous = step;
    }
  }
  throw new RangeError(`no root found between ${low} and ${high}: f is not continuous or not a number there`);
}
