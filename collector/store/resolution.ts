import { CHANNELS } from '../contract/channels.ts';

/** Largest number of steps that is kept as a whole number; a value beyond it is kept as it is. */
export const MAX_UNITS = 2 ** 31 - 1;

/**
 * Within what a value reads back, contract section 1, by canonical unit.
 * Source: the contract's table of tolerances.
 */
const TOLERANCE: Readonly<Record<string, number>> = { bar: 1e-4, 'm3/h': 1e-3, 'g/min': 0.1, kg: 1e-3, Cel: 0.01 };

/**
 * Steps per canonical unit in which readings are kept, by channel index: ten to a tolerance.
 * Source: own choice, because sensors report decimals: all that have at most one digit more than the
 * tolerance asks for come back to the last bit.
 */
export const UNITS_PER_VALUE: readonly number[] = CHANNELS.map((channel) =>
  channel.kind === 'number' ? Math.round(10 / (TOLERANCE[channel.canonical] ?? 1e-4)) : 1,
);

/**
 * Steps to which a value that is no such decimal (a converted one, say) is rounded: half a tolerance, so
 * that it is off by a quarter of one at most.
 * Source: own choice, because finer digits of a converted value are noise that costs room.
 */
const COARSE = 5;

/**
 * A reading in whole steps of its channel; the value that is kept and read back is `units / UNITS_PER_VALUE[channel]`.
 *
 * @param channel index into CHANNELS
 * @param value canonical unit, finite
 * @returns whole number of steps; beyond MAX_UNITS in size when the value has to be kept as it is
 */
export function toUnits(channel: number, value: number): number {
  const scale = UNITS_PER_VALUE[channel] ?? 1;
  const units = Math.round(value * scale);
  // + 0 turns -0 into 0.
  if (units / scale === value) return units + 0;
  return COARSE * Math.round((value * scale) / COARSE) + 0;
}
