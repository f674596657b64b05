import { counted } from '../../collector/contract/index.ts';
import { curveOf } from '../baseline/excess-air.ts';
import { linearForm } from '../baseline/gaussian-state.ts';
import { hoursKnown } from '../baseline/gun-memory.ts';
import { localElasticity } from '../baseline/pump-curve.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { normalCdf } from '../stats/normal.ts';
import type { Bench } from './site-view.ts';

/** Why a worn state may have been learnt as normal. */
export interface WornDoubt {
  readonly kind: 'unknown-start' | 'midway' | 'worn-when-new';
  /** One sentence with figures. */
  readonly sentence: string;
}

/** Probability from which it is said. Source: own choice: of ten such sentences nine should be true. */
const SURE = 0.9;
/** The same of an insert that was logged as new: that speaks against a person's word. Source: own choice, one in forty. */
const SURE_OF_NEW = 0.975;
/** Spray hours of an insert from which learning in the midst of its life is said. Source: own choice, a tenth of a usual life (handbook section 2, 50–65 spray hours). */
const MIDWAY_HOURS = 6;
/** Spray hours from which the level is told apart from weeks and lots. Source: own choice, two shifts. */
const TOLD_HOURS = 5;

/** Whether the baseline of a gun may hold wear as if it were normal; null where nothing speaks for it. */
export function learntWorn(bench: Bench): WornDoubt | null {
  return midway(bench) ?? startsWorn(bench);
}

/** It was learnt anew while an insert of known age was in the midst of its life. */
function midway({ memory, tunables }: Bench): WornDoubt | null {
  const { commissioned } = memory;
  if (commissioned === null || commissioned.fresh) return null;
  // A change since then has shown the gun with a new insert.
  if (memory.insert.since !== null) return null;
  const { insertHours, wear, wearSd } = commissioned;
  const worn = wear !== null && wearSd !== null && chance(wear - Math.log1p(tunables.smallestChange), wearSd) >= SURE;
  if (!worn && !(insertHours !== null && insertHours >= MIDWAY_HOURS)) return null;
  const age =
    insertHours === null
      ? 'with an insert of unknown age'
      : `${counted(insertHours.toFixed(0), 'spray hour')} into an insert’s life`;
  const stood =
    wear === null ? '' : `, which by the baseline of before needed ${percent(wear)} more air than a new one`;
  return {
    kind: 'midway',
    sentence: `The baseline was learnt anew ${age}${stood}: wear of before may pass for normal until an insert is changed and logged.`,
  };
}

/** The insert that was there at the first runs, or the one that was logged as new, was worn when it began. */
function startsWorn(bench: Bench): WornDoubt | null {
  const { memory, pool, tunables } = bench;
  const gun = pool.guns[memory.id];
  const others = Object.keys(pool.guns).length - 1;
  if (gun === undefined || gun.proof !== null) return null;
  const flow = gun.practice.weight === 0 ? 1 : gun.practice.flow / pool.reference;
  const along = localElasticity(flow, curveOf(pool, memory.id));
  const worth = Math.log1p(tunables.smallestChange) * along;
  const { insert } = memory;
  if (insert.since === null) {
    if (others === 0 || hoursKnown(memory) < TOLD_HOURS) return null;
    const start = startLoss(bench);
    if (chance(start.mean - worth, start.sd) < SURE) return null;
    return {
      kind: 'unknown-start',
      sentence: `The insert that was in it at the first runs was probably worn then: it needed ${percent(start.mean / along)} (${percent(Math.max(0, start.mean - 1.2816 * start.sd) / along)} to ${percent((start.mean + 1.2816 * start.sd) / along)}) more air than new inserts of the site’s other guns. What is normal for this gun is borrowed from them until its insert is changed and logged.`,
    };
  }
  if (!insert.logged) return null;
  const left = insert.left ?? { mean: 0, sd: 1 };
  if (insert.inVain === true)
    return {
      kind: 'worn-when-new',
      sentence: `The insert that was logged as new did not bring the air back: it is taken to be as worn as before, not as a new one.`,
    };
  if (chance(left.mean - Math.max(worth, 2 * PRIORS.newWear), left.sd) < SURE_OF_NEW) return null;
  return {
    kind: 'worn-when-new',
    sentence: `The insert that was logged as new began with ${percent(left.mean / along)} more air than a new one needs here (a new one strays by ${percent(PRIORS.newWear / along)}): was it new? What it began with must not pass for normal.`,
  };
}

/** Loss of an insert of unknown age when its gun was first seen, or its baseline begun: what is lost now, less what has worn since. */
function startLoss({ memory, pool }: Bench): { mean: number; sd: number } {
  const gun = pool.guns[memory.id]!;
  const { clock } = memory.insert;
  const { mean, variance } = linearForm(
    pool.gaussian,
    [gun.wear, pool.rate, gun.gunRate, gun.lifeRate],
    [1, -clock, -clock, -clock],
  );
  return { mean, sd: Math.sqrt(variance) };
}

const chance = (beyond: number, sd: number): number => normalCdf(beyond / Math.max(sd, 1e-6));
const percent = (log: number): string => `${(100 * Math.expm1(log)).toFixed(0)} %`;
