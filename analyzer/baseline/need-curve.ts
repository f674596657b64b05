import { curveOf } from './excess-air.ts';
import { linearForm } from './gaussian-state.ts';
import { curveBend, curveRise, curveTwist, flowRatioFor, localElasticity } from './pump-curve.ts';
import type { PumpPool } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';

/** Conveying air that a new insert needs for one output: what is believed, and the interval in which it lies with 80 %. m3/h. */
export interface Need {
  readonly air: number;
  readonly low: number;
  readonly high: number;
}

/** Quantile of the normal distribution for an 80 % interval. */
const P90 = 1.2816;

/**
 * What a new insert of a gun needs at one output with one powder, by all that is believed now.
 *
 * @param output ln of output, g/min
 * @returns null when the gun or powder is unknown to the pool
 */
export function needOf(pool: PumpPool, gunId: string, powderId: string, output: number): Need | null {
  const gun = pool.guns[gunId];
  const powder = pool.powders[powderId];
  if (gun === undefined || powder === undefined) return null;
  const own = gun.powders[powderId];
  const levels = [
    ...[pool.level, gun.level, powder.effect, powder.lot, pool.site, gun.week],
    ...(own === undefined ? [] : [own]),
  ];
  const { gaussian } = pool;
  const level = levels.reduce((sum, index) => sum + gaussian.mean[index]!, 0);
  const curve = curveOf(pool, gunId);
  const ratio = flowRatioFor(output - level, curve);
  const shape = [pool.elasticity, gun.elasticity, pool.bend, gun.bend, pool.twist];
  const rise = curveRise(ratio);
  const bend = curveBend(ratio);
  const { variance } = linearForm(
    gaussian,
    [...levels, ...shape],
    [...levels.map(() => 1), rise, rise, bend, bend, curveTwist(ratio)],
  );
  // A new insert has a tolerance of its own, whatever is known of the gun.
  const sd = Math.sqrt(variance + PRIORS.newWear ** 2) / localElasticity(ratio, curve);
  const air = ratio * pool.reference;
  return { air, low: air * Math.exp(-P90 * sd), high: air * Math.exp(P90 * sd) };
}

/** How much of what is believed of a gun is borrowed from the others of its site: 1 all of it, 0 nothing. */
export interface Borrowed {
  readonly level: number;
  readonly slope: number;
  /** Guns that teach each other. */
  readonly from: readonly string[];
}

/** What is left of the uncertainty with which a gun begins, as a share of it. */
export function borrowedOf(pool: PumpPool, gunId: string): Borrowed | null {
  const gun = pool.guns[gunId];
  if (gun === undefined) return null;
  const share = (index: number, sd: number): number =>
    Math.min(1, linearForm(pool.gaussian, [index], [1]).variance / (sd * sd));
  return {
    level: share(gun.level, PRIORS.gunLevel),
    slope: share(gun.elasticity, gun.setpoint ? PRIORS.setElasticity : PRIORS.gunElasticity),
    from: Object.keys(pool.guns).filter((id) => id !== gunId),
  };
}
