import { AppError } from '../../collector/contract/errors.ts';
import type { FaultRate, Scenario } from './scenario.ts';
import { PLAIN_HALL } from './scenario.ts';

const SEALS: readonly FaultRate[] = [
  { cause: 'pump-seals', shape: 'step', perGun: 1.2, size: [0.06, 0.15], mendAfter: [6, 20], wrongFirst: 0.2 },
  { cause: 'gun-seals', shape: 'step', perGun: 0.5, size: [0.03, 0.07], mendAfter: [8, 20] },
];
const SLOW_LEAKS: readonly FaultRate[] = [
  { cause: 'pump-seals', shape: 'ramp', perGun: 0.3, size: [0.12, 0.18], sprayHours: [20, 45], mendAfter: [0.9, 1.1] },
];
const FILTERS: readonly FaultRate[] = [
  {
    cause: 'conveying-filter',
    shape: 'ramp',
    perGun: 0.7,
    size: [0.15, 0.25],
    sprayHours: [25, 60],
    mendAfter: [0.95, 1.15],
  },
  {
    cause: 'supplementary-filter',
    shape: 'ramp',
    perGun: 0.4,
    size: [0.18, 0.3],
    sprayHours: [25, 60],
    mendAfter: [0.95, 1.15],
  },
  { cause: 'inlet-filter', shape: 'ramp', perGun: 0.4, size: [0.5, 1], sprayHours: [25, 60], mendAfter: [0.95, 1.15] },
];
const FLUIDIZING: readonly FaultRate[] = [
  {
    cause: 'fluidizing-ring',
    shape: 'ramp',
    perGun: 0.9,
    size: [0.28, 0.42],
    sprayHours: [25, 60],
    mendAfter: [0.95, 1.15],
  },
];
const BACK: readonly FaultRate[] = [
  { cause: 'powder-hose', shape: 'step', perGun: 0.25, size: [0.8, 2], mendAfter: [6, 16] },
  { cause: 'gun-tube', shape: 'ramp', perGun: 0.2, size: [0.8, 1.6], sprayHours: [30, 60], mendAfter: [0.95, 1.2] },
];
const SENSORS: readonly FaultRate[] = [
  {
    cause: 'sensor',
    shape: 'step',
    perGun: 0.6,
    size: [0.08, 0.3],
    mendAfter: [10, 25],
    sensor: { kinds: ['zero'], channels: ['conveying/flow', 'conveying/pressure', 'supplementary/flow'] },
  },
  {
    cause: 'sensor',
    shape: 'step',
    perGun: 0.5,
    size: [0, 0],
    mendAfter: [6, 15],
    sensor: {
      kinds: ['stuck'],
      channels: ['conveying/flow', 'conveying/pressure', 'powder/output', 'supplementary/flow', 'fluidizing/flow'],
    },
  },
  {
    cause: 'sensor',
    shape: 'step',
    perGun: 0.25,
    size: [20, 60],
    mendAfter: [3, 8],
    sensor: { kinds: ['broken'], channels: ['conveying/pressure', 'conveying/flow'] },
  },
  {
    cause: 'sensor',
    shape: 'ramp',
    perGun: 0.25,
    size: [0.1, 0.18],
    sprayHours: [20, 40],
    mendAfter: [0.95, 1.15],
    sensor: { kinds: ['gain'], channels: ['conveying/flow', 'conveying/pressure'] },
  },
  { cause: 'sensor:clock', shape: 'span', perGun: 0.25, size: [240, 2400], mendAfter: [20, 120] },
  { cause: 'no-data', shape: 'span', perGun: 0.5, size: [0.7, 4], mendAfter: [0.7, 4] },
];
const scaled = (rates: readonly FaultRate[], factor: number): FaultRate[] =>
  rates.map((rate) => ({ ...rate, perGun: rate.perGun * factor }));

const BUILT: readonly Scenario[] = [
  {
    ...PLAIN_HALL,
    name: 'insert-lives',
    summary: 'Pump inserts wear and are changed near their limit; nothing else is wrong',
    weeks: 12,
    guns: 8,
  },
  {
    ...PLAIN_HALL,
    name: 'seals',
    summary: 'Pump and gun seals fail in steps, some leak slowly',
    weeks: 6,
    shifts: 2,
    faults: [...SEALS, ...SLOW_LEAKS],
  },
  {
    ...PLAIN_HALL,
    name: 'filters',
    summary: 'Conveying, supplementary and inlet filters clog',
    weeks: 12,
    faults: FILTERS,
    fittings: { usual: 1, all: 1 },
  },
  {
    ...PLAIN_HALL,
    name: 'fluidizing',
    summary: 'Fluidizing rings load with powder',
    faults: FLUIDIZING,
    fittings: { all: 1 },
  },
  {
    ...PLAIN_HALL,
    name: 'supply',
    summary: 'Two air lines: pressure sags, wet air and lowered settings, common to their guns',
    guns: 8,
    gunsPerBooth: 2,
    lines: 2,
    supplyEvents: 6,
    traps: ['low-supply-setting'],
  },
  {
    ...PLAIN_HALL,
    name: 'sensors',
    summary: 'Sensors drift, stick, break; nodes fall silent or tell the wrong time',
    faults: SENSORS,
  },
  {
    ...PLAIN_HALL,
    name: 'mixed',
    summary: 'Everything at once, overlapping, on pumps of several makes',
    gunSpread: 1,
    weeks: 14,
    guns: 8,
    lines: 2,
    faults: [
      ...scaled(SEALS, 0.5),
      ...SLOW_LEAKS,
      ...scaled(FILTERS, 0.5),
      ...scaled(FLUIDIZING, 0.5),
      ...BACK,
      ...scaled(SENSORS, 0.3),
    ],
    supplyEvents: 2,
    badLots: 1.5,
    maintenance: { ...PLAIN_HALL.maintenance, unlogged: 0.05 },
    traps: ['hose-change', 'nozzle-exchange'],
  },
  {
    ...PLAIN_HALL,
    name: 'minimal-sensors',
    summary: 'Only conveying air and output are known',
    fittings: { minimal: 1 },
    outputs: { measured: 3, setpoint: 3, scale: 2 },
    faults: scaled(SEALS, 0.5),
  },
  {
    ...PLAIN_HALL,
    name: 'abrasive-powder',
    summary: 'Metallic and textured powders wear inserts several times as fast',
    abrasive: 3.5,
    changeChance: 0.25,
    weeks: 6,
    shifts: 2,
  },
  {
    ...PLAIN_HALL,
    name: 'sparse-data',
    summary: 'Ten-second readings, losses, long silences, short runs',
    intervalS: [10],
    idleS: 60,
    pullS: 12,
    transport: { lost: 0.06, twice: 0.02, late: 0.05 },
    faults: [
      ...scaled(SEALS, 0.5),
      { cause: 'no-data', shape: 'span', perGun: 1.5, size: [0.7, 5], mendAfter: [0.7, 5] },
    ],
  },
  {
    ...PLAIN_HALL,
    name: 'unlogged-changes',
    summary: 'Half of all changes are not written down; others go by the calendar',
    maintenance: { insert: { by: 'calendar', days: 28 }, unlogged: 0.5, refit: 0.3, inspections: 0.02 },
    faults: scaled(SEALS, 0.4),
    weeks: 14,
  },
  {
    ...PLAIN_HALL,
    name: 'healthy-traps',
    summary: 'Nothing is wrong with any part; everything that looks like it happens',
    weeks: 12,
    lifeSprayHours: 800,
    newAtStart: 1,
    changeChance: 0.35,
    traps: [
      'low-supply-setting',
      'hose-change',
      'nozzle-exchange',
      'sensor-exchange',
      'shut-down',
      'daylight-saving',
      'clock-offset',
      'more-powder',
      'regulator-stop',
    ],
    transport: { lost: 0.01, twice: 0.02, late: 0.05 },
    emptyBox: 0.25,
    bridging: 0.003,
  },
];

/** Names of all scenarios, as the command line takes them. */
export const scenarioNames: readonly string[] = BUILT.map(({ name }) => name);

/** All scenarios with what they are about. */
export const scenarios: readonly Scenario[] = BUILT;

/**
 * The scenario of a name.
 *
 * @throws {AppError} USAGE with the known names
 */
export function scenarioOf(name: string): Scenario {
  const found = BUILT.find((scenario) => scenario.name === name);
  if (!found)
    throw new AppError('USAGE', `scenario "${name}" is not known; expected one of ${scenarioNames.join(', ')}`);
  return found;
}
