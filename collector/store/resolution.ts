import { CHANNEL_STEPS } from '../contract/resolution.ts';

/**
 * A reading in whole steps of its channel; the value that is kept and read back is `steps / CHANNEL_STEPS[channel]`.
 * What comes in by a decoder is on a step already and comes back to the last bit.
 *
 * @param channel index into CHANNELS
 * @param value canonical unit, finite
 * @returns whole number; beyond MOST_STEPS in size when the value has to be kept as it is
 */
export function toSteps(channel: number, value: number): number {
  // + 0 turns -0 into 0.
  return Math.round(value * (CHANNEL_STEPS[channel] as number)) + 0;
}
