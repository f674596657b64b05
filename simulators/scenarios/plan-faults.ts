import type { FaultPlan } from '../gun/fault.ts';
import type { GunSpec } from '../gun/gun-spec.ts';
import type { SupplyEvent } from '../hall/air-supply.ts';
import type { BadLot } from '../hall/hall-air.ts';
import { Random } from '../random.ts';
import type { FaultRate, Scenario } from './scenario.ts';

const HOUR_MS = 3_600_000;

/** What will go wrong in a hall. */
export interface Planned {
  readonly plans: FaultPlan[];
  readonly supplyEvents: (SupplyEvent & { readonly line: number })[];
  readonly badLots: BadLot[];
}

/** A whole number with this mean: its floor, and one more with the chance of the rest. */
function count(random: Random, mean: number): number {
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
  const base = {
    id,
    cause: rate.cause,
    gun,
    shape: rate.shape,
    onset,
    size: random.uniform(...rate.size),
    sprayHours: rate.sprayHours ? random.uniform(...rate.sprayHours) : 0,
    mendAfter: random.uniform(...rate.mendAfter),
    logged: true,
    wrongFirst: random.chance(rate.wrongFirst ?? 0) ? 'pump-insert' : null,
  };
  if (rate.shape === 'span' && rate.cause === 'no-data') base.mendAfter = base.size;
  if (!rate.sensor) return base;
  const fitted = rate.sensor.channels.filter((channel) => spec.channels.includes(channel));
  if (fitted.length === 0) return null;
  const channel = random.pick(fitted);
  const kind = random.pick(rate.sensor.kinds);
  // A pressure gauge's zero is off by less than a flow meter's, in figures; drifts go both ways.
  if (kind === 'zero') base.size *= (channel === 'conveying/pressure' ? 0.6 : 1) * (random.chance(0.5) ? 1 : -1);
  if (kind === 'gain' && random.chance(0.5)) base.size = -base.size;
  return { ...base, sensor: { channel, kind } };
}

/**
 * Draws what goes wrong: faults of guns, events of the air lines, bad lots. Two faults of one cause on one gun keep apart;
 * the first eighth of the span stays quiet, so that guns can be known before.
 */
export function planFaults(
  scenario: Scenario,
  seed: number,
  specs: readonly GunSpec[],
  span: { readonly start: number; readonly end: number },
  powders: number,
): Planned {
  const plans: FaultPlan[] = [];
  const length = span.end - span.start;
  for (const [gun, spec] of specs.entries())
    for (const [place, rate] of scenario.faults.entries()) {
      const random = new Random(seed, 'fault', gun, place);
      const times = count(random, rate.perGun);
      for (let nth = 0; nth < times; nth++) {
        const slot = (0.8 * length) / times;
        const onset = span.start + 0.125 * length + slot * (nth + random.uniform(0, 0.6));
        const plan = planOne(random, rate, spec, gun, onset, `${spec.id}/${rate.cause}/${place}.${nth}`);
        if (plan && noneNear(plans, plan, slot)) plans.push(plan);
      }
    }
  return { plans, supplyEvents: planSupply(scenario, seed, span), badLots: planLots(scenario, seed, span, powders) };
}

/** One channel has one sensor fault at a time; one part one fault at a time. */
function noneNear(plans: readonly FaultPlan[], plan: FaultPlan, slot: number): boolean {
  return !plans.some(
    (other) =>
      other.gun === plan.gun &&
      other.cause === plan.cause &&
      other.sensor?.channel === plan.sensor?.channel &&
      Math.abs(other.onset - plan.onset) < Math.max(slot * 0.4, 14 * 24 * HOUR_MS),
  );
}

function planSupply(
  scenario: Scenario,
  seed: number,
  span: { start: number; end: number },
): (SupplyEvent & { line: number })[] {
  const random = new Random(seed, 'supply-events');
  const length = span.end - span.start;
  const events: (SupplyEvent & { line: number })[] = [];
  const times = count(random, scenario.supplyEvents);
  for (let nth = 0; nth < times; nth++) {
    const start = span.start + length * (0.12 + (0.85 * (nth + random.uniform(0, 0.5))) / times);
    const kind = random.pick(['sag', 'wet'] as const);
    const end = start + random.uniform(10, 72) * HOUR_MS;
    events.push({
      kind,
      start,
      end,
      size: kind === 'sag' ? random.uniform(1.8, 3.4) : random.uniform(0.07, 0.14),
      line: random.integer(0, scenario.lines - 1),
    });
  }
  if (scenario.traps.includes('low-supply-setting'))
    for (let line = 0; line < scenario.lines; line++) {
      const start = span.start + length * random.uniform(0.2, 0.7);
      events.push({
        kind: 'low-setting',
        start,
        end: start + random.uniform(5, 12) * 24 * HOUR_MS,
        size: random.uniform(0.8, 1.5),
        line,
      });
    }
  return events;
}

function planLots(scenario: Scenario, seed: number, span: { start: number; end: number }, powders: number): BadLot[] {
  const random = new Random(seed, 'bad-lots');
  const length = span.end - span.start;
  return Array.from({ length: count(random, scenario.badLots) }, () => {
    const start = span.start + length * random.uniform(0.2, 0.8);
    return {
      powder: random.chance(0.7) ? 0 : random.integer(0, powders - 1),
      start,
      end: start + random.uniform(4, 10) * 24 * HOUR_MS,
      factor: random.uniform(0.84, 0.9),
    };
  });
}
