import { gainOver } from './gain-watch.ts';
import { decayQuantity, type GaussianState, linearForm, resetQuantity } from './gaussian-state.ts';
import type { PumpGun, PumpPool } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';
import { fitInsert } from './pump-wear.ts';

/**
 * The log says that a new insert was fitted. It is believed to be new, and what the readings say of that is gathered beside
 * the belief until it is borne out: a change that was only written down would else be taken for a loss of something else.
 *
 * @param leaks true where seals leak as well, as believed: a new insert cures none of that
 */
export function fitLoggedInsert(pool: PumpPool, gunId: string, leaks: boolean): void {
  const gun = pool.guns[gunId];
  if (gun === undefined) return;
  const { gaussian } = pool;
  gun.proof = {
    mean: [...gaussian.mean],
    ...lossOf(gaussian, gun, leaks),
    pace: { mean: gaussian.mean[gun.lifeRate]!, variance: linearForm(gaussian, [gun.lifeRate], [1]).variance },
    gain: 0,
    hours: 0,
  };
  fitInsert(pool, gunId);
  if (leaks) decayQuantity(gaussian, gun.leak, 1, LEAK_SD ** 2);
  else if (gaussian.mean[gun.leak]! > PRIORS.newWear) resetQuantity(gaussian, gun.leak, 0, PRIORS.newWear ** 2);
}

/** How far a leak may turn out to have been the old insert's after all, ln output. Source: own choice, half of what a usual one costs. */
const LEAK_SD = 0.06;

/** What a new insert may bring back, ln of output, and its deviation: what wear takes now, and a leak that may be the insert's. */
function lossOf(gaussian: GaussianState, gun: PumpGun, leaks: boolean): { lost: number; lostSd: number } {
  const { mean, variance } = linearForm(gaussian, [gun.wear, gun.leak], [1, leaks ? 0 : 1]);
  return { lost: mean, lostSd: Math.sqrt(variance) };
}

/**
 * Takes one block's output in.
 *
 * Parameters as in `gainOver`.
 */
export function gatherProof(
  pool: PumpPool,
  gun: PumpGun,
  indices: readonly number[],
  coefficients: readonly number[],
  value: number,
  hours: number,
): void {
  const { proof } = gun;
  if (proof === null) return;
  const over = gainOver(proof.mean, pool.gaussian, [pool.site, gun.shift], indices, coefficients, value);
  const gain = Math.max(-proof.lost, Math.min(2 * proof.lost, over));
  proof.hours += hours;
  proof.gain += (hours / proof.hours) * (gain - proof.gain);
}

/** Ends the gathering; a change in vain leaves the loss where it was, and what was known of how fast it grows. */
export function settleProof(pool: PumpPool, gunId: string, inVain: boolean): void {
  const gun = pool.guns[gunId]!;
  const { lost, gain, pace } = gun.proof!;
  if (inVain) {
    // What fell further in the meantime is no wear of these hours.
    resetQuantity(pool.gaussian, gun.wear, lost - Math.max(gain, 0), LEFT_SD ** 2);
    resetQuantity(pool.gaussian, gun.lifeRate, pace.mean, pace.variance);
  }
  gun.proof = null;
}

/** How well a loss that stayed is known. Source: own choice, what weeks, lots and the gathering leave open. */
const LEFT_SD = 0.05;
