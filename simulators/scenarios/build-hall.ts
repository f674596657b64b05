import type { Channel } from '../../collector/contract/channels.ts';
import { addDays, type ShiftPattern } from '../calendar/shop-day.ts';
import { Fault, type FaultPlan } from '../gun/fault.ts';
import { GunSimulation } from '../gun/gun-simulation.ts';
import { drawGun, type GunSpec, type OutputMode } from '../gun/gun-spec.ts';
import { GunState } from '../gun/gun-state.ts';
import { PowderBox } from '../gun/powder-box.ts';
import type { SupplyEvent } from '../hall/air-supply.ts';
import { type BadLot, HallAir } from '../hall/hall-air.ts';
import { drawPowders } from '../hall/powders.ts';
import { WorkPlan } from '../hall/work-plan.ts';
import { Maintenance } from '../people/maintenance.ts';
import { Operator } from '../people/operator.ts';
import { atmosphereBar } from '../physics/atmosphere.ts';
import { Random } from '../random.ts';
import { planFaults } from './plan-faults.ts';
import type { Fitting, Scenario } from './scenario.ts';

const DAY_MS = 86_400_000;

/** When and where a hall's story plays. */
export interface Setting {
  readonly siteId: string;
  readonly siteName: string;
  readonly timezone: string;
  /** First local day. */
  readonly firstDate: string;
  readonly days: number;
  readonly pattern: ShiftPattern;
  readonly daysOff: ReadonlySet<string>;
  readonly altitude: number;
}

/** A hall ready to run, day by day. */
export interface Hall {
  readonly scenario: Scenario;
  readonly seed: number;
  readonly setting: Setting;
  readonly air: HallAir;
  readonly guns: readonly GunSimulation[];
  readonly booths: readonly WorkPlan[];
  readonly plans: readonly FaultPlan[];
  readonly supplyEvents: readonly (SupplyEvent & { readonly line: number })[];
  readonly badLots: readonly BadLot[];
}

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

/** Draws when and where: start date, time zone, holidays, shut-down. */
export function drawSetting(scenario: Scenario, seed: number): Setting {
  const random = new Random(seed, 'setting', scenario.name);
  const firstDate = addDays('2025-01-06', 7 * random.integer(0, 51));
  const daysOff = new Set<string>();
  const days = scenario.weeks * 7;
  for (let count = Math.round(scenario.weeks / 4); count > 0; count--)
    daysOff.add(addDays(firstDate, random.integer(3, days - 1)));
  if (scenario.traps.includes('shut-down')) {
    const from = 7 * Math.floor(scenario.weeks * random.uniform(0.4, 0.6));
    for (let day = 0; day < 14; day++) daysOff.add(addDays(firstDate, from + day));
  }
  const number = random.integer(10, 99);
  return {
    siteId: `hall-${number}`,
    siteName: `Hall ${number}`,
    timezone: random.pick(['Europe/Vienna', 'America/Chicago', 'Europe/Lisbon', 'Asia/Tokyo']),
    firstDate,
    days,
    pattern: {
      starts: scenario.shifts === 2 ? ['06:00', '14:00'] : ['06:00'],
      hours: 8,
      breaks: [
        { afterMinutes: 180, minutes: 15 },
        { afterMinutes: 330, minutes: 30 },
      ],
      weekdays: [1, 2, 3, 4, 5],
    },
    daysOff,
    altitude: random.pick(scenario.altitudes),
  };
}

function drawSpec(scenario: Scenario, seed: number, index: number): GunSpec {
  const random = new Random(seed, 'gun', index);
  const output = random.weighted(scenario.outputs);
  const fitting = random.weighted(scenario.fittings);
  const booth = Math.floor(index / scenario.gunsPerBooth);
  const number = String(index + 1).padStart(2, '0');
  return drawGun(random, `gun-${number}`, `Booth ${booth + 1} gun ${index + 1}`, booth, booth % scenario.lines, {
    output,
    channels: channelsOf(fitting, output),
    recipes: scenario.recipes,
    intervalMs: random.pick(scenario.intervalS) * 1000,
    idleMs: scenario.idleS * 1000,
    slowEvery: 4,
    lifeSprayHours: scenario.lifeSprayHours,
  });
}

/** Builds a hall from its scenario: everything that chance decides, decided by the seed. */
export function buildHall(scenario: Scenario, seed: number, setting: Setting = drawSetting(scenario, seed)): Hall {
  const start = Date.parse(`${setting.firstDate}T00:00:00Z`);
  const span = { start, end: start + setting.days * DAY_MS };
  const powders = drawPowders(new Random(seed, 'powders'), scenario.powders, scenario.abrasive);
  const specs = Array.from({ length: scenario.guns }, (_, index) => drawSpec(scenario, seed, index));
  const planned = planFaults(scenario, seed, specs, span, powders.length);
  const air = new HallAir(
    seed,
    span,
    scenario.lines,
    powders,
    scenario.nuisance,
    planned.supplyEvents,
    planned.badLots,
  );
  const boothCount = Math.ceil(scenario.guns / scenario.gunsPerBooth);
  const people = Array.from({ length: boothCount }, (_, booth) => {
    const random = new Random(seed, 'people', booth);
    return Array.from({ length: 3 }, () => random.lognormal(1, scenario.operators.personSpread));
  });
  const guns = specs.map((spec, index) => {
    const random = new Random(seed, 'state', index);
    const fresh = random.chance(scenario.newAtStart);
    const faults = planned.plans.filter(({ gun }) => gun === index).map((plan) => new Fault(plan));
    const box = new PowderBox(new Random(seed, 'box', index), scenario.emptyBox, scenario.bridging);
    const state = new GunState(spec, random, box, faults, start, fresh ? 0 : random.uniform(0.05, 0.75), fresh);
    const maintenance = new Maintenance(new Random(seed, 'maintenance', index), scenario.maintenance, start);
    if (fresh)
      maintenance.note(start + 4 * 3_600_000, spec.id, 'pump-insert', 'replaced', null, 'commissioning', false, true);
    else maintenance.startWorn(start);
    const operator = new Operator(spec, new Random(seed, 'operator', index), scenario.operators, people[spec.booth]!);
    const habits = { pullS: scenario.pullS, gapS: scenario.gapS };
    return new GunSimulation(seed, state, operator, maintenance, air, habits, atmosphereBar(setting.altitude));
  });
  const booths = people.map(
    (_, booth) =>
      new WorkPlan(
        new Random(seed, 'work', booth),
        { powders: powders.length, recipes: scenario.recipes, changeChance: scenario.changeChance },
        3,
      ),
  );
  return {
    scenario,
    seed,
    setting,
    air,
    guns,
    booths,
    plans: planned.plans,
    supplyEvents: planned.supplyEvents,
    badLots: planned.badLots,
  };
}
