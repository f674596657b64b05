import { type GaussianState, linearForm } from './gaussian-state.ts';
import type { PumpGun, PumpPool } from './pump-pool.ts';

/** Keeps what is believed of a gun now, as that from which a gain will count. */
export function keepCalm({ gaussian }: PumpPool, gun: PumpGun): void {
  const { mean, variance } = linearForm(gaussian, [gun.wear, gun.leak], [1, 1]);
  gun.calm = { mean: [...gaussian.mean], lost: mean, lostSd: Math.sqrt(variance), leak: gaussian.mean[gun.leak]! };
}

/** Begins to gather what a gain comes to; one that is being gathered goes on. */
export function watchGain(gun: PumpGun, onset: number, atHours: number): void {
  if (gun.calm === null || gun.watch !== null) return;
  gun.watch = { ...gun.calm, onset, atHours, gain: 0, hours: 0 };
  gun.calm = null;
}

/** Takes one block's output in. Parameters as in `gainOver`. */
export function gatherGain(
  { gaussian, site }: PumpPool,
  gun: PumpGun,
  indices: readonly number[],
  coefficients: readonly number[],
  value: number,
  hours: number,
): void {
  const { watch } = gun;
  if (watch === null) return;
  const gain = gainOver(watch.mean, gaussian, [site, gun.shift], indices, coefficients, value);
  watch.hours += hours;
  watch.gain += (hours / watch.hours) * (gain - watch.gain);
}

/**
 * How much more a block gave than was to be expected by what was believed before, ln of output.
 *
 * @param before means of then
 * @param passing quantities that come and go: the first is what the whole line shares and is known from the others now; the gun's own shift is over
 * @param indices quantities of the belief that the output is the sum of, with `coefficients`
 * @param value ln of output
 */
export function gainOver(
  before: readonly number[],
  { mean }: GaussianState,
  [shared, shift]: readonly [number, number],
  indices: readonly number[],
  coefficients: readonly number[],
  value: number,
): number {
  let expected = 0;
  for (const [place, index] of indices.entries())
    if (index === shared) expected += mean[index]!;
    else if (index !== shift) expected += coefficients[place]! * (before[index] ?? 0);
  return value - expected;
}
