import type { Commissioning } from './commissioning.ts';
import { type GaussianState, resetQuantity, restartTrace } from './gaussian-state.ts';
import { type GunMemory, insertHours, newGunMemory } from './gun-memory.ts';
import { emptyPumpPool, type PumpGun, type PumpPool } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';
import { newRegulatorStop } from './regulator-stop.ts';
import { RUN_SCATTER } from './run-scatter.ts';
import { restartStarts } from './step-starts.ts';

/** An insert that has sprayed no longer than this since its logged change counts as changed then, spray hours. Source: own choice, some pulls to try it. */
const JUST_FITTED_HOURS = 1;

/**
 * Forgets what is known of one gun, as if it were commissioned now among the guns that the pool knows. The insert's state is
 * unknown, unless a change of it was logged just now. Kept are its log, what the log taught of its change limit and lives, its counters,
 * zeros and supply: they are no part of the baseline.
 *
 * @param time reading time, epoch ms
 * @param before what the gun showed until now, for whoever asks whether a worn state is being learnt; null where nothing did
 */
export function relearnGun(
  memory: GunMemory,
  pool: PumpPool,
  time: number,
  before: Pick<Commissioning, 'wear' | 'wearSd'> | null,
): void {
  const fresh = memory.insert.logged && insertHours(memory) <= JUST_FITTED_HOURS;
  const { since } = memory.insert;
  const learnt = newGunMemory(memory.id, memory.source);
  const commissioned: Commissioning = {
    ...{ time, atHours: memory.sprayHours, fresh },
    insertHours: since === null || fresh ? null : insertHours(memory),
    ...{ wear: before?.wear ?? null, wearSd: before?.wearSd ?? null },
  };
  const kept: Partial<GunMemory> = {
    ...{ sprayHours: memory.sprayHours, kilograms: memory.kilograms, lastEnd: memory.lastEnd, shift: memory.shift },
    ...{ log: memory.log, limit: memory.limit, lives: memory.lives, returns: memory.returns },
    ...{ zeros: memory.zeros, jumps: memory.jumps, lowGauge: memory.lowGauge, scale: memory.scale },
    ...{ supply: memory.supply, distrust: memory.distrust },
    ...{ powder: memory.powder, powderSince: memory.powderSince },
    insert: fresh ? memory.insert : { ...learnt.insert, atHours: memory.sprayHours },
  };
  Object.assign(memory, learnt, kept, { commissioned });
  const gun = pool.guns[memory.id];
  if (gun === undefined) return;
  if (Object.keys(pool.guns).length === 1) {
    // Nobody else is there to borrow from: all that the pool knows it has of this gun.
    Object.assign(pool, emptyPumpPool());
    return;
  }
  forget(pool.gaussian, gun, fresh);
}

/** What is known of one gun's quantities becomes what is believed of a gun not seen yet. */
function forget(state: GaussianState, gun: PumpGun, fresh: boolean): void {
  const reset = (index: number, mean: number, sd: number): void => resetQuantity(state, index, mean, sd * sd);
  reset(gun.level, 0, PRIORS.gunLevel);
  reset(gun.elasticity, 0, gun.setpoint ? PRIORS.setElasticity : PRIORS.gunElasticity);
  reset(gun.bend, 0, PRIORS.gunBend);
  if (fresh) reset(gun.wear, 0, PRIORS.newWear);
  else reset(gun.wear, PRIORS.firstWear.mean, PRIORS.firstWear.sd);
  reset(gun.gunRate, 0, PRIORS.gunRate);
  reset(gun.lifeRate, 0, PRIORS.lifeRate);
  reset(gun.shift, 0, gun.setpoint ? PRIORS.notch.sd : PRIORS.shift.sd);
  reset(gun.week, 0, PRIORS.week.sd);
  reset(gun.leak, 0, 0.003);
  for (const powder in gun.powders) reset(gun.powders[powder]!, 0, powder === '' ? PRIORS.hidden.sd : PRIORS.gunPowder);
  restartStarts(state, gun.losses, gun.time);
  restartTrace(state.traces[gun.gain]!, false);
  gun.pace = { through: 0, hours: 0 };
  gun.unrest = 1;
  gun.scatter = RUN_SCATTER.first;
  gun.pooled = 0;
  gun.hidden = PRIORS.hidden.sd ** 2;
  gun.odd = 0;
  gun.practice = { weight: 0, flow: 0, supplementary: 0, variance: 0, covariance: 0 };
  gun.unanswered = fresh && gun.setpoint && !gun.unread;
  gun.proof = null;
  gun.calm = null;
  gun.watch = null;
  gun.stop = newRegulatorStop();
}
