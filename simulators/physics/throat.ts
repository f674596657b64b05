/**
 * What a new pump lifts: threshold, convex start, linear middle, saturation.
 *
 *   u = q − (threshold + shift·supplementary)       air beyond what only keeps the jet going
 *   y = u^(bend+1)/(u^bend + knee^bend)              convex, then linear
 *   g = slope·y/(1 + y/saturation)
 *
 * Source: own choice, because no output curve of small venturi pumps is published; the shape (threshold, convex to
 * linear, saturating) is what published work on gas–solid injectors agrees on.
 */
export interface ThroatCurve {
  readonly thresholdNm3h: number;
  /** How much one Nm³/h of supplementary air raises the threshold: it works against the jet. */
  readonly supplementaryShift: number;
  readonly kneeNm3h: number;
  /** How sharply the convex start turns linear: 1 is a plain hyperbola. */
  readonly bend: number;
  /** g/min for each further Nm³/h in the linear part. */
  readonly slope: number;
  readonly saturationNm3h: number;
}

/**
 * Powder that a new pump lifts.
 *
 * @param conveyingNm3h @param supplementaryNm3h air, Nm³/h
 * @returns g/min at a pumping effect of 1
 * @example
 * liftedPowder({ thresholdNm3h: 0.5, supplementaryShift: 0.1, kneeNm3h: 0.4, bend: 1, slope: 180, saturationNm3h: 5 }, 2.2, 1); // 183.4394904
 */
export function liftedPowder(curve: ThroatCurve, conveyingNm3h: number, supplementaryNm3h: number): number {
  const beyond = conveyingNm3h - curve.thresholdNm3h - curve.supplementaryShift * supplementaryNm3h;
  if (beyond <= 0) return 0;
  const lift = beyond / (1 + (curve.kneeNm3h / beyond) ** curve.bend);
  return (curve.slope * lift) / (1 + lift / curve.saturationNm3h);
}

/**
 * Conveying air that a new pump needs: the inverse of `liftedPowder`.
 *
 * @param outputGmin wanted output over the pumping effect, g/min, ≥ 0
 * @returns Nm³/h; Infinity from the saturated output upwards
 * @example
 * neededAir({ thresholdNm3h: 0.5, supplementaryShift: 0.1, kneeNm3h: 0.4, bend: 1, slope: 180, saturationNm3h: 5 }, 183.4394904, 1); // 2.2000000
 */
export function neededAir(curve: ThroatCurve, outputGmin: number, supplementaryNm3h: number): number {
  const lowest = curve.thresholdNm3h + curve.supplementaryShift * supplementaryNm3h;
  if (outputGmin <= 0) return lowest;
  const left = curve.slope - outputGmin / curve.saturationNm3h;
  if (left <= 0) return Number.POSITIVE_INFINITY;
  const lift = outputGmin / left;
  // Newton's steps on the convex branch, from the exact inverse for bend 1.
  let beyond = (lift + Math.sqrt(lift * lift + 4 * lift * curve.kneeNm3h)) / 2;
  for (let step = 0; step < 20; step++) {
    const ratio = (curve.kneeNm3h / beyond) ** curve.bend;
    const off = beyond / (1 + ratio) - lift;
    if (Math.abs(off) < 1e-12 * lift) break;
    beyond = Math.max(beyond / 10, beyond - (off * (1 + ratio) ** 2) / (1 + ratio * (1 + curve.bend)));
  }
  return lowest + beyond;
}

/**
 * Loss of pumping effect that asks for a given excess of conveying air at one output.
 *
 *   loss = 1 − g(q)/g(q·(1 + x)), q the new pump's need
 *
 * @param excess x, share of the new pump's need, ≥ 0
 * @returns share, 0 … 1
 * @example
 * lossForExcess({ thresholdNm3h: 0.5, supplementaryShift: 0.1, kneeNm3h: 0.4, bend: 1, slope: 180, saturationNm3h: 5 }, 180, 1, 0.2); // 0.2008651
 */
export function lossForExcess(
  curve: ThroatCurve,
  outputGmin: number,
  supplementaryNm3h: number,
  excess: number,
): number {
  const need = neededAir(curve, outputGmin, supplementaryNm3h);
  return 1 - outputGmin / liftedPowder(curve, need * (1 + excess), supplementaryNm3h);
}

/**
 * Excess of conveying air that a loss of pumping effect asks for at one output: the inverse of `lossForExcess`.
 *
 * @param loss share, 0 ≤ loss < 1
 * @returns share of the new pump's need; Infinity where no air lifts that output any more
 * @example
 * excessForLoss({ thresholdNm3h: 0.5, supplementaryShift: 0.1, kneeNm3h: 0.4, bend: 1, slope: 180, saturationNm3h: 5 }, 180, 1, 0.2008650843); // 0.2000000
 */
export function excessForLoss(curve: ThroatCurve, outputGmin: number, supplementaryNm3h: number, loss: number): number {
  const need = neededAir(curve, outputGmin, supplementaryNm3h);
  return neededAir(curve, outputGmin / (1 - loss), supplementaryNm3h) / need - 1;
}
