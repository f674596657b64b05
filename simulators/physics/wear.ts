/**
 * Erosion exponent of velocity. Source: Finnie, Wear 3 (1960) and later work: 2.3 to 2.5 for metals; for polymer sleeves it
 * is not established, so this is our choice in that range.
 */
export const VELOCITY_EXPONENT = 2.4;

/**
 * How much a kilogram wears at this air, against the air that the sleeve's life is told for.
 *
 *   (q/q_ref)^2.4 · abrasiveness; the velocity in the throat follows the conveying air
 *
 * Source: erosion is particle mass times velocity to the power 2.4 (reference tables, pneumatic conveying).
 * @example
 * wearPerKilogram(1.1, 1, 1); // 1.257021
 */
export function wearPerKilogram(conveyingNm3h: number, referenceNm3h: number, abrasiveness: number): number {
  return abrasiveness * (conveyingNm3h / referenceNm3h) ** VELOCITY_EXPONENT;
}

/**
 * Loss of pumping effect of a sleeve after some wear.
 *
 *   loss = at-life·(w/life)^curvature
 *
 * @param wornKg kilograms so far, weighted by `wearPerKilogram`
 * @param lifeKg weighted kilograms at which the loss is `lossAtLife`
 * @param curvature 1 straight, above 1 slow at first
 * @returns share, at most 0.9
 * Source: own choice, because no wear curve of such sleeves is published; mild curvature about a straight line.
 * @example
 * lossOfSleeve(300, 600, 0.2, 1); // 0.1
 */
export function lossOfSleeve(wornKg: number, lifeKg: number, lossAtLife: number, curvature: number): number {
  return Math.min(0.9, lossAtLife * (wornKg / lifeKg) ** curvature);
}
