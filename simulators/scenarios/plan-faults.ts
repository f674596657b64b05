import type { WorkDays } from '../calendar/work-days.ts';
import type { FaultPlan } from '../gun/fault.ts';
import type { GunSpec } from '../gun/gun-spec.ts';
import { Random } from '../random.ts';
import type { FaultRate, Scenario } from './scenario.ts';

const HOUR_MS = 3_600_000;

/** A whole number with this mean: its floor, and one more with the chance of the rest. */
export function wholeCount(random: Random, mean: number): number {
  return Math.floor(mean) + (random.chance(mean - Math.floor(mean)) ? 1 : 0);
}

function planOne(
  random: Random,
  rate: FaultRate,
  spec: GunSpec,
  gun: number,
  onset: number,
  id: string,
): FaultPlan | null {
  const size = random.uniform(...rate.size);
  const plan: FaultPlan = {
    id,
    cause: rate.cause,
    gun,
    shape: rate.shape,
    onset,
    size,
    sprayHours: rate.sprayHours ? random.uniform(...rate.sprayHours) : 0,
    mendAfter: rate.cause === 'no-data' ? size : random.uniform(...rate.mendAfter),
    logged: random.chance(rate.logged ?? 1),
    wrongFirst: random.chance(rate.wrongFirst ?? 0) ? random.pick(['pump-insert', 'gun-seals']) : null,
  };
  if (rate.cause === 'sensor:clock') return { ...plan, size: random.chance(0.5) ? size : -size };
  if (!rate.sensor) return plan;
  const fitted = rate.sensor.channels.filter((channel) => spec.channels.includes(channel));
  if (fitted.length === 0) return null;
  const channel = random.pick(fitted);
  const kind = random.pick(rate.sensor.kinds);
  if (channel === 'powder/output' && spec.output !== 'measured') return null;
  // A gauge's zero is off by less than a flow meter's, in figures; offsets and drifts go both ways.
  const sign = (kind === 'zero' || kind === 'gain') && random.chance(0.5) ? -1 : 1;
  const share = kind === 'zero' && channel === 'conveying/pressure' ? 0.6 : 1;
  return { ...plan, size: plan.size * sign * share, sensor: { channel, kind } };
}

/**
 * Draws what goes wrong with guns. Two faults of one cause on one gun keep apart; the first eighth of the working time
 * stays quiet, so that guns can be known before.
 */
export function planFaults(scenario: Scenario, seed: number, specs: readonly GunSpec[], work: WorkDays): FaultPlan[] {
  const plans: FaultPlan[] = [];
  for (const [gun, spec] of specs.entries())
    for (const [place, rate] of scenario.faults.entries()) {
      const random = new Random(seed, 'fault', gun, place);
      const times = wholeCount(random, rate.perGun);
      const slot = 0.8 / times;
      for (let nth = 0; nth < times; nth++) {
        const onset = work.moment(0.125 + slot * (nth + random.uniform(0, 0.6)));
        const plan = planOne(random, rate, spec, gun, onset, `${spec.id}/${rate.cause}/${place}.${nth}`);
        if (plan && plans.every((other) => keepApart(other, plan))) plans.push(plan);
      }
    }
  return plans;
}

/** One sensor has one fault at a time, one part one fault at a time: two weeks between onsets at least. */
function keepApart(other: FaultPlan, plan: FaultPlan): boolean {
  const same = other.gun === plan.gun && other.cause === plan.cause && other.sensor?.channel === plan.sensor?.channel;
  const apart = plan.shape === 'span' ? 24 * HOUR_MS : 14 * 24 * HOUR_MS;
  return !same || Math.abs(other.onset - plan.onset) >= apart;
}
