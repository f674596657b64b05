import { type GaussianState, linearForm } from './gaussian-state.ts';
import type { PumpGun } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';

/**
 * How far the first hours of a new insert may lie off for no reason of the gun's (deviation, ln of output): lots and shifts; an operator who has yet to turn the air down.
 * Source: own choice, as for logged changes.
 */
export const STIR = { read: 0.035, set: 0.06 };
/** How much rarer an insert that is changed without a word is than another lot, ln odds. Source: own choice, one to ten. */
const RARER = Math.log(0.1);
const BOTH = [1, 1];

/**
 * True where the gain that a gun tells of is likelier its insert's, changed without a word, than another lot's: the one gives back what was lost, lots differ by as
 * much as they do.
 *
 * @param gun with its gain since its chart of gains stood at nought
 */
export function isLikelierInsert(gaussian: GaussianState, gun: PumpGun): boolean {
  const { active, score, information } = gaussian.traces[gun.gain]!;
  if (!active || score >= 0) return false;
  const gain = -score / information;
  const { lost, lostSd } = gun.watch ?? gun.calm ?? lostNow(gaussian, gun);
  const stir = gun.setpoint ? STIR.set : STIR.read;
  const insert = logDensity(gain - lost, lostSd ** 2 + stir ** 2 + PRIORS.newWear ** 2 + 1 / information);
  return insert + RARER > logDensity(gain, 2 * PRIORS.lot ** 2 + 1 / information);
}

function lostNow(gaussian: GaussianState, gun: PumpGun): { lost: number; lostSd: number } {
  const { mean, variance } = linearForm(gaussian, [gun.wear, gun.leak], BOTH);
  return { lost: mean, lostSd: Math.sqrt(variance) };
}

const logDensity = (off: number, variance: number): number => -0.5 * ((off * off) / variance + Math.log(variance));
