import { CHANNELS, type ChannelInfo } from './channels.ts';

/**
 * Decimals of the canonical unit to which readings are kept, by channel index: 0.0001 bar, 0.001 m3/h,
 * 0.01 Cel, 0.01 g/min, 0.001 kg. Every way in rounds to it once, so that the same reading is the same number
 * whether it came over MQTT, from a file or back from the store; two readings are the same when they agree in it.
 * Source: own choice, because it is a tenth or less of what the sensors resolve, and never
 * coarser than the contract's read-back tolerances.
 */
const DECIMALS = {
  pressure: 4,
  'volume-flow': 3,
  temperature: 2,
  'mass-flow': 2,
  mass: 3,
} as const;

const decimalsOf = (channel: ChannelInfo): number => (channel.dimension === null ? 0 : DECIMALS[channel.dimension]);

/** Decimals kept, by channel index; 0 for states and names. */
export const CHANNEL_DECIMALS: readonly number[] = CHANNELS.map(decimalsOf);

/** Steps in one canonical unit, by channel index: 10 ** decimals. A value is kept as a whole number of steps. */
export const CHANNEL_STEPS: readonly number[] = CHANNEL_DECIMALS.map((decimals) => 10 ** decimals);

/** Largest number of steps that is kept, either side of zero: what 32 bits hold. */
export const MOST_STEPS = 2 ** 31 - 1;
