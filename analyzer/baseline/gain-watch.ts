import { decayQuantity, type GaussianState, linearForm } from './gaussian-state.ts';
import type { GainWatch, PumpGun, PumpPool } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';

const BOTH = [1, 1];

/** Keeps what is believed of a gun now, as that from which a gain will count. With nearly every block: so the means go where the last ones were. */
export function keepCalm({ gaussian }: PumpPool, gun: PumpGun): void {
  const lost = linearForm(gaussian, [gun.wear, gun.leak], BOTH);
  const lostSd = Math.sqrt(lost.variance);
  const leak = gaussian.mean[gun.leak]!;
  const { calm } = gun;
  if (calm === null || calm.mean.length !== gaussian.n) {
    gun.calm = { mean: Float64Array.from(gaussian.mean), lost: lost.mean, lostSd, leak };
    return;
  }
  calm.mean.set(gaussian.mean);
  calm.lost = lost.mean;
  calm.lostSd = lostSd;
  calm.leak = leak;
}

/** Begins to gather what a gain comes to; one that is being gathered goes on. */
export function watchGain(gun: PumpGun, onset: number, atHours: number): void {
  if (gun.calm === null || gun.watch !== null) return;
  gun.watch = { ...gun.calm, onset, atHours, gain: 0, hours: 0 };
  gun.calm = null;
}

/**
 * A gain was a new insert's: what of it went into the gun's level, its week and powders and into lots of which nobody else told belongs to none of them. They are
 * believed to be what they were before it.
 */
export function takeBackGain({ gaussian, powders }: PumpPool, gun: PumpGun, { mean, onset }: GainWatch): void {
  const back = [gun.level, gun.week, gun.shift];
  for (const id in gun.powders) {
    back.push(gun.powders[id]!);
    const powder = powders[id];
    if (powder === undefined || powder.lastSeen < onset || powder.lotSince >= onset) continue;
    back.push(powder.lot);
    decayQuantity(gaussian, powder.lot, 1, PRIORS.lot ** 2);
  }
  for (const index of back) if (mean[index] !== undefined) gaussian.mean[index] = mean[index];
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
  before: ArrayLike<number>,
  { mean }: GaussianState,
  [shared, shift]: readonly [number, number],
  indices: readonly number[],
  coefficients: readonly number[],
  value: number,
): number {
  let expected = 0;
  for (let place = 0; place < indices.length; place++) {
    const index = indices[place]!;
    if (index === shared) expected += mean[index]!;
    else if (index !== shift) expected += coefficients[place]! * (before[index] ?? 0);
  }
  return value - expected;
}
