/**
 * The shape of a venturi pump's output over its conveying air, g(q): nothing below a threshold flow, then convex
 * to linear, then saturating (handbook, "Output"). In logs, about a reference flow:
 *
 *   ln g = level + elasticity · rise(z) + bend · ½ ln²z + twist · ⅙ ln³z,   z = q / reference
 *   rise(z) = (1 − t) · ln((z − t) / (1 − t)),  t = THRESHOLD
 *
 * `rise` has slope 1 in ln z at the reference, so `elasticity` is d ln ṁ / d ln q there. All are linear in what is to be
 * learnt. Source: own choice, because it holds the three regimes with three numbers that can be pooled over guns.
 */
export interface PumpCurve {
  readonly elasticity: number;
  readonly bend: number;
  readonly twist: number;
}

export const THRESHOLD = 0.4;
/** Nearer to the threshold the rise goes on with the slope that it has here, so that it stays finite. */
const LOWEST = 0.5;
const LOWEST_RISE = (1 - THRESHOLD) * Math.log((LOWEST - THRESHOLD) / (1 - THRESHOLD));
const LOWEST_SLOPE = ((1 - THRESHOLD) * LOWEST) / (LOWEST - THRESHOLD);

/** Slope-one rise of ln output over conveying air relative to the reference flow. */
export function curveRise(ratio: number): number {
  if (ratio < LOWEST) return LOWEST_RISE + LOWEST_SLOPE * Math.log(ratio / LOWEST);
  return (1 - THRESHOLD) * Math.log((ratio - THRESHOLD) / (1 - THRESHOLD));
}

/** ½ ln² of conveying air relative to the reference flow. */
export function curveBend(ratio: number): number {
  const log = Math.log(Math.max(ratio, LOWEST));
  return 0.5 * log * log;
}

/** ⅙ ln³ of conveying air relative to the reference flow. */
export function curveTwist(ratio: number): number {
  const log = Math.log(Math.max(ratio, LOWEST));
  return (log * log * log) / 6;
}

/** ln output at a flow relative to the reference, over that at the reference. */
export function curveAt(ratio: number, { elasticity, bend, twist }: PumpCurve): number {
  // Bend and twist as above, of one logarithm.
  const log = Math.log(Math.max(ratio, LOWEST));
  return elasticity * curveRise(ratio) + bend * (0.5 * log * log) + twist * ((log * log * log) / 6);
}

/** d ln output / d ln conveying air at a flow relative to the reference, not below 0.6: more air never gives less powder. */
export function localElasticity(ratio: number, { elasticity, bend, twist }: PumpCurve): number {
  const z = Math.max(ratio, LOWEST);
  const log = Math.log(z);
  const slope = elasticity * (1 - THRESHOLD) * (z / (z - THRESHOLD)) + bend * log + 0.5 * twist * log * log;
  return Math.max(slope, LEAST_SLOPE);
}

/** Source: own choice: a pump so far in saturation would not be run. */
const LEAST_SLOPE = 0.6;

/**
 * Conveying air, relative to the reference, at which the curve has risen by `rise` in ln output from the reference
 * point. Follows the curve's local slope where it flattens beyond what was learnt.
 *
 * @param rise ln(output) minus the curve's level at the reference
 * @returns flow ratio, > 0
 * @example
 * flowRatioFor(0, { elasticity: 2, bend: -0.3, twist: 0 }); // 1
 */
export function flowRatioFor(rise: number, curve: PumpCurve): number {
  let log = rise / Math.max(curve.elasticity, LEAST_SLOPE);
  for (let step = 0; step < 12; step++) {
    const z = Math.exp(log);
    const move = (rise - curveAt(z, curve)) / localElasticity(z, curve);
    log += Math.max(-0.3, Math.min(0.3, move));
    if (Math.abs(move) < 1e-7) break;
  }
  return Math.exp(Math.max(-1.5, Math.min(1.5, log)));
}
