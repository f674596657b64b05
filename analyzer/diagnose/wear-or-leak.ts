import type { ExcessAir } from '../baseline/excess-air.ts';
import { leakIn, type UnreadPowder } from '../baseline/unread-powder.ts';

/**
 * Excess air of an insert where neither powder nor ripple is read: a leak passes for wear within a shift there. What came too fast for wear is the insert's only as
 * likely as nothing leaks; which of both it is adds to the deviation.
 *
 * @param unread what is followed of the gun's levels and leaks
 * @returns excess air of the insert, mean and deviation of both cases together; what is lost in all stays
 * Source: moments of a mixture of two cases; own choice to use them here.
 */
export function withoutLeak(excess: ExcessAir, unread: UnreadPowder): ExcessAir {
  const tooFast = Math.max(0, unread.wear.believed - unread.wear.held) / excess.elasticity;
  // A sum over the grid is one but for rounding.
  const probability = Math.min(1, leakIn(unread).probability);
  return {
    ...excess,
    wear: excess.wear - probability * tooFast,
    wearSd: Math.hypot(excess.wearSd, Math.sqrt(probability * (1 - probability)) * tooFast),
  };
}
