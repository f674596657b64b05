import { linearForm } from './gaussian-state.ts';
import {
  curveAt,
  curveBend,
  curveRise,
  curveTwist,
  flowRatioFor,
  localElasticity,
  type PumpCurve,
} from './pump-curve.ts';
import type { PumpPool } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';

/** Where a gun stands against a new insert at one output with one powder. */
export interface ExcessAir {
  /** Conveying air that a new insert needs, m3/h. */
  readonly neededAir: number;
  /** ln(1 + excess) for all that is lost now (wear and leak), and its deviation; to be asked before more is learnt. */
  readonly total: () => { readonly log: number; readonly sd: number };
  /** The same for the insert alone. */
  readonly wear: number;
  readonly wearSd: number;
  /** Mean elasticity between the two flows: a loss (ln output) over it is ln(1 + excess). */
  readonly elasticity: number;
}

/** Room for what a loss takes of each quantity; the first is the wear. */
const parts = Float64Array.of(1, 0, 0, 0, 0, 0, 0);

/** Excess air of some loss (ln), its deviation, and the elasticity along the way. */
interface Read {
  readonly log: number;
  readonly sd: number;
  readonly elasticity: number;
}

/**
 * Excess air of a gun: what the curve asks for the same output with the present loss, over what it asks with none.
 *
 * @param output ln of the usual output, g/min
 * @returns null when the gun or powder is unknown to the pool
 */
export function excessAirOf(pool: PumpPool, gunId: string, powderId: string, output: number): ExcessAir | null {
  const gun = pool.guns[gunId];
  const powder = pool.powders[powderId];
  if (gun === undefined || powder === undefined) return null;
  const { mean } = pool.gaussian;
  const own = gun.powders[powderId];
  const curve = curveOf(pool, gunId);
  const known =
    mean[pool.level]! +
    mean[gun.level]! +
    mean[powder.effect]! +
    mean[powder.lot]! +
    mean[pool.site]! +
    mean[gun.week]! +
    (own === undefined ? 0 : mean[own]!);
  // Where the output only stands for one, the usual air tells where on the curve the gun works.
  const here = curveAt(gun.practice.flow / pool.reference, curve) - mean[gun.wear]! - mean[gun.leak]!;
  const level = gun.unread && gun.practice.weight > 0 ? output - here : known;
  const fresh = flowRatioFor(output - level, curve);
  const read = (leaks: boolean): Read => {
    const loss = leaks ? mean[gun.wear]! + mean[gun.leak]! : mean[gun.wear]!;
    const now = flowRatioFor(output - level + loss, curve);
    const log = Math.log(now / fresh);
    const along = Math.abs(log) > 0.005 ? Math.max(loss / log, 0.5) : localElasticity(fresh, curve);
    const span = curveRise(now) - curveRise(fresh);
    const bends = curveBend(now) - curveBend(fresh);
    const twists = curveTwist(now) - curveTwist(fresh);
    parts[1] = -span;
    parts[2] = -span;
    parts[3] = -bends;
    parts[4] = -bends;
    parts[5] = -twists;
    parts[6] = leaks ? 1 : 0;
    const form = linearForm(
      pool.gaussian,
      [gun.wear, pool.elasticity, gun.elasticity, pool.bend, gun.bend, pool.twist, gun.leak],
      parts,
    );
    const lag = PRIORS.lag.mean / along;
    const behind = gun.setpoint ? Math.max(0, 1 - Math.exp(-log / lag)) : 0;
    return {
      log: log + behind * lag,
      sd: Math.hypot(Math.sqrt(form.variance), behind * PRIORS.lag.sd) / along,
      elasticity: along,
    };
  };
  const wear = read(false);
  let all: Read | null = null;
  // Most looks ask for the insert alone.
  const total = (): Read => {
    all ??= read(true);
    return all;
  };
  return {
    neededAir: fresh * pool.reference,
    total,
    wear: wear.log,
    wearSd: wear.sd,
    elasticity: wear.elasticity,
  };
}

/** Source: own choice: a pump so far in saturation would not be run. */
const LEAST_SLOPE = 0.6;

/**
 * Loss (ln of output) that asks for an excess of air, along the gun's curve from a new insert's need on: the curve flattens, so that the last
 * percents of air make up for less than the first.
 *
 * @param excess share, ≥ 0
 */
export function lossAt(
  pool: PumpPool,
  gunId: string,
  { neededAir }: Pick<ExcessAir, 'neededAir'>,
  excess: number,
): number {
  const curve = curveOf(pool, gunId);
  const fresh = neededAir / pool.reference;
  const loss = curveAt(fresh * (1 + excess), curve) - curveAt(fresh, curve);
  return Math.max(loss, LEAST_SLOPE * Math.log1p(excess));
}

/** The curve of one gun as believed now; the gun has to be known to the pool. */
export function curveOf(pool: PumpPool, gunId: string): PumpCurve {
  const gun = pool.guns[gunId]!;
  const { mean } = pool.gaussian;
  return {
    elasticity: mean[pool.elasticity]! + mean[gun.elasticity]!,
    bend: mean[pool.bend]! + mean[gun.bend]!,
    twist: mean[pool.twist]!,
  };
}

/** d ln output / d ln conveying air of a gun at its usual air; the mean of pumps where nothing is known of it. */
export function usualElasticity(pool: PumpPool, gunId: string): number {
  const gun = pool.guns[gunId];
  return gun === undefined ? PRIORS.elasticity.mean : localElasticity(gun.flow / pool.reference, curveOf(pool, gunId));
}
