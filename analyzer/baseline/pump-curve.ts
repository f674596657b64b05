/**
 * The shape of a venturi pump's output over its conveying air, g(q): nothing below a threshold flow, then convex
 * to linear, then saturating (handbook, "Output"). In logs, about a reference flow:
 *
 *   ln g = level + elasticity · rise(z) + bend · ½ ln²z,   z = q / reference
 *   rise(z) = (1 − t) · ln((z − t) / (1 − t)),  t = THRESHOLD
 *
 * `rise` has slope 1 in ln z at the reference, so `elasticity` is d ln ṁ / d ln q there. Both are linear in what is
 * to be learnt. Source: own choice, because it holds the three regimes with two numbers that can be pooled over guns.
 */
export const THRESHOLD = 0.4;
const LOWEST = 0.5;

/** Slope-one rise of ln output over conveying air relative to the reference flow. */
export function curveRise(ratio: number): number {
  const z = Math.max(ratio, LOWEST);
  return (1 - THRESHOLD) * Math.log((z - THRESHOLD) / (1 - THRESHOLD));
}

/** ½ ln² of conveying air relative to the reference flow. */
export function curveBend(ratio: number): number {
  const log = Math.log(Math.max(ratio, LOWEST));
  return 0.5 * log * log;
}

/** d ln output / d ln conveying air at a flow relative to the reference, not below 0.5. */
export function localElasticity(ratio: number, elasticity: number, bend: number): number {
  const z = Math.max(ratio, LOWEST);
  return Math.max(elasticity * (1 - THRESHOLD) * (z / (z - THRESHOLD)) + bend * Math.log(z), 0.5);
}

/**
 * Conveying air, relative to the reference, at which the curve has risen by `rise` in ln output from the reference
 * point. Follows the curve's local slope where it flattens beyond what was learnt.
 *
 * @param rise ln(output) minus the curve's level at the reference
 * @returns flow ratio, > 0
 * @example
 * flowRatioFor(0, 2, -0.3); // 1
 */
export function flowRatioFor(rise: number, elasticity: number, bend: number): number {
  let log = rise / Math.max(elasticity, 0.5);
  for (let step = 0; step < 12; step++) {
    const z = Math.exp(log);
    const miss = rise - (elasticity * curveRise(z) + bend * curveBend(z));
    const move = miss / localElasticity(z, elasticity, bend);
    log += Math.max(-0.3, Math.min(0.3, move));
    if (Math.abs(move) < 1e-9) break;
  }
  return Math.exp(log);
}
