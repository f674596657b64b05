/** Spray hours left as an 80 % interval. */
export interface HoursLeftByLives {
  readonly p10: number;
  readonly p50: number;
  readonly p90: number;
}

/**
 * Time that a part of this age still has, by the lives of its like: quantiles of the Weibull distribution given that it lived so long,
 * η·((age/η)^β − ln(1 − p))^(1/β) − age.
 *
 * @param age in the unit of the scale, >= 0
 * @example
 * hoursLeftByLives({ shape: 1, scale: 50 }, 30).p50; // 34.657359
 */
export function hoursLeftByLives(
  { shape, scale }: { readonly shape: number; readonly scale: number },
  age: number,
): HoursLeftByLives {
  const reached = (age / scale) ** shape;
  const left = (share: number): number => scale * (reached - Math.log1p(-share)) ** (1 / shape) - age;
  return { p10: left(0.1), p50: left(0.5), p90: left(0.9) };
}
