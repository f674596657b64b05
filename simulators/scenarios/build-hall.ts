import type { Channel } from '../../collector/contract/channels.ts';
import { WorkDays } from '../calendar/work-days.ts';
import { Fault, type FaultPlan } from '../gun/fault.ts';
import { GunSimulation } from '../gun/gun-simulation.ts';
import { drawGun, drawMake, type GunSpec, type OutputMode } from '../gun/gun-spec.ts';
import { GunState } from '../gun/gun-state.ts';
import type { GunTrap } from '../gun/gun-trap.ts';
import { PowderBox } from '../gun/powder-box.ts';
import { AirPoint } from '../hall/air-point.ts';
import { HallAir } from '../hall/hall-air.ts';
import { drawPowders } from '../hall/powders.ts';
import { WorkPlan } from '../hall/work-plan.ts';
import { Maintenance, type MaintenanceHabits } from '../people/maintenance.ts';
import { Operator } from '../people/operator.ts';
import { atmosphereBar } from '../physics/atmosphere.ts';
import { mixKey, Random } from '../random.ts';
import type { Hall } from './hall.ts';
import { type LineEvent, planLots, planSupply } from './plan-air.ts';
import { planFaults } from './plan-faults.ts';
import { planTraps } from './plan-traps.ts';
import type { Fitting, Scenario } from './scenario.ts';
import { drawSetting, type Setting } from './setting.ts';

const MINIMAL: readonly Channel[] = ['conveying/pressure', 'conveying/flow'];
const USUAL: readonly Channel[] = [
  'trigger',
  ...MINIMAL,
  'conveying/ripple',
  'supplementary/pressure',
  'supplementary/flow',
  'supply/pressure',
  'powder/id',
];
const ALL: readonly Channel[] = [...USUAL, 'fluidizing/pressure', 'fluidizing/flow'];

/** The channels of a gun: its fitting and how its output is known. */
export function channelsOf(fitting: Fitting, output: OutputMode): readonly Channel[] {
  const air = { minimal: MINIMAL, usual: USUAL, all: ALL }[fitting];
  return [...air, output === 'scale' ? 'powder/mass' : 'powder/output'];
}

function drawSpec(scenario: Scenario, chance: number, index: number): GunSpec {
  const random = new Random(chance, 'gun', index);
  const fixed = scenario.fleet?.[index];
  const output = fixed?.output ?? random.weighted(scenario.outputs);
  const fitting = fixed?.fitting ?? random.weighted(scenario.fittings);
  const booth = Math.floor(index / scenario.gunsPerBooth);
  const number = String(index + 1).padStart(2, '0');
  const make = drawMake(new Random(chance, 'make'));
  return drawGun(random, `gun-${number}`, `Booth ${booth + 1} gun ${index + 1}`, booth, booth % scenario.lines, make, {
    output,
    channels: channelsOf(fitting, output),
    recipes: scenario.recipes,
    intervalMs: random.pick(scenario.intervalS) * 1000,
    idleMs: scenario.idleS * 1000,
    slowMs: scenario.slowS * 1000,
    lifeSprayHours: scenario.lifeSprayHours,
    insertSpread: scenario.insertSpread,
    gunSpread: scenario.gunSpread,
  });
}

function drawPeople(scenario: Scenario, chance: number, booth: number): number[] {
  const random = new Random(chance, 'people', booth);
  return Array.from({ length: 3 }, () => random.lognormal(1, scenario.operators.personSpread));
}

/** What is planned for one gun, and its first insert. */
export interface GunStory {
  readonly plans: readonly FaultPlan[];
  readonly traps: readonly GunTrap[];
  /** Fitted and logged as new when the data begin; else part of its life is used. */
  readonly fresh: boolean;
  readonly wornShare: number;
  readonly maintenance: MaintenanceHabits;
}

/** What a caller tells instead of leaving it to chance. */
export interface GivenStory {
  readonly setting?: Setting;
  readonly storyOf?: (gun: number, drawn: GunStory) => GunStory;
  readonly supplyEvents?: readonly LineEvent[];
}

function buildGun(hall: Omit<Hall, 'guns'>, spec: GunSpec, index: number, story: GunStory): GunSimulation {
  const { scenario, chance } = hall;
  const start = hall.work.span.start + 60_000;
  const box = new PowderBox(new Random(chance, 'box', index), scenario.emptyBox, scenario.bridging);
  const faults = story.plans.map((plan) => new Fault(plan));
  const random = new Random(chance, 'state', index);
  const state = new GunState(spec, random, box, faults, story.traps, start, story.wornShare, story.fresh);
  const maintenance = new Maintenance(new Random(chance, 'maintenance', index), story.maintenance, start);
  if (story.fresh) maintenance.note(start, spec.id, 'pump-insert', 'replaced', null, 'commissioning', false, true);
  else maintenance.startWorn(start);
  const people = drawPeople(scenario, chance, spec.booth);
  const operator = new Operator(spec, new Random(chance, 'operator', index), scenario.operators, people);
  const habits = { pullS: scenario.pullS, gapS: scenario.gapS, unusedChance: scenario.unusedChance };
  const atmosphere = atmosphereBar(hall.setting.altitude);
  return new GunSimulation(chance, state, operator, maintenance, hall.air, habits, atmosphere);
}

/** Share of a usual life that is used where this share of the way to the gun's own limit is: people change inserts by that, not by the usual. */
function shareOfLife({ wearLimit, lossAtLife }: GunSpec, shareOfLimit: number): number {
  return (shareOfLimit * wearLimit) / lossAtLife;
}

/**
 * Builds a hall from its scenario: everything that chance decides, decided by the seed and the scenario's name.
 *
 * @param given what is told instead of drawn
 */
export function buildHall(scenario: Scenario, seed: number, given: GivenStory = {}): Hall {
  const chance = mixKey(seed, [scenario.name]);
  const where = given.setting ?? drawSetting(scenario, chance);
  const work = new WorkDays(where.pattern, where.timezone, where.firstDate, where.days, where.daysOff);
  const powders = drawPowders(new Random(chance, 'powders'), scenario.powders, scenario.abrasive);
  const specs = Array.from({ length: scenario.guns }, (_, index) => drawSpec(scenario, chance, index));
  const plans = planFaults(scenario, chance, specs, work);
  const traps = planTraps(scenario, chance, specs, work);
  const supplyEvents = given.supplyEvents ?? planSupply(scenario, chance, work);
  const badLots = planLots(scenario, chance, work, powders.length);
  const air = new HallAir(chance, work.span, scenario.lines, powders, scenario.nuisance, supplyEvents, badLots);
  const points = scenario.airPoints
    ? Array.from({ length: scenario.lines }, (_, line) => new AirPoint(chance, `dryer-${line + 1}`, line, air))
    : [];
  const habits = { powders: powders.length, recipes: scenario.recipes, changeChance: scenario.changeChance };
  const booths = Array.from(
    { length: Math.ceil(scenario.guns / scenario.gunsPerBooth) },
    (_, booth) => new WorkPlan(new Random(chance, 'work', booth), habits, 3),
  );
  const hall = { scenario, seed, chance, setting: where, work, air, points, booths, supplyEvents, badLots, traps };
  const guns = specs.map((spec, index) => {
    const random = new Random(chance, 'start', index);
    const fresh = random.chance(scenario.newAtStart);
    const drawn: GunStory = {
      plans: plans.filter(({ gun }) => gun === index),
      traps: traps.filter(({ gun }) => gun === index),
      fresh,
      wornShare: fresh ? 0 : shareOfLife(specs[index]!, random.uniform(0.05, 0.75)),
      maintenance: scenario.maintenance,
    };
    return buildGun(hall, spec, index, given.storyOf?.(index, drawn) ?? drawn);
  });
  return { ...hall, guns };
}
