import type { Fault } from '../gun/fault.ts';
import { FAULT_MEASURES } from '../gun/fault.ts';
import type { GunSimulation } from '../gun/gun-simulation.ts';
import type { Hall } from '../scenarios/build-hall.ts';
import { Truth, type TruthEvent } from '../truth.ts';

const iso = (timeMs: number): string => new Date(timeMs).toISOString();

function eventOf(fault: Fault, gun: string): TruthEvent {
  const { plan } = fault;
  return {
    id: plan.id,
    cause: plan.cause === 'sensor' ? `sensor:${plan.sensor!.channel}` : plan.cause,
    guns: [gun],
    shape: plan.shape,
    onset: iso(plan.onset),
    end: fault.ended ? iso(fault.ended.timeMs) : null,
    endedBy: fault.ended?.by ?? null,
    endLogged: fault.ended?.logged ?? false,
    size: fault.size,
    measure: plan.sensor ? `sensor ${plan.sensor.kind}: ${FAULT_MEASURES.sensor}` : FAULT_MEASURES[plan.cause],
    limit: plan.shape === 'ramp' ? plan.size : null,
    reached70: fault.reached70 === null ? null : iso(fault.reached70),
  };
}

function gunTruth(gun: GunSimulation): Truth['guns'][number] {
  const { spec, state } = gun;
  return {
    id: spec.id,
    output: spec.output,
    channels: [...spec.channels],
    wearLimit: spec.wearLimit,
    wearLimitExcessAir: spec.wearLimitExcess,
    usualOutput: spec.recipes[0]!.outputGmin,
    sprayHours: state.sprayMs / 3_600_000,
    kilograms: state.kilograms,
    lives: [...state.lives, state.insert.story(null)],
  };
}

/** What really happened in a hall that has run, up to `endMs`. */
export function truthOf(hall: Hall, startMs: number, endMs: number): Truth {
  const ids = hall.guns.map(({ spec }) => spec.id);
  const supply: TruthEvent[] = hall.supplyEvents
    .filter(({ kind }) => kind !== 'low-setting')
    .map((event, index) => ({
      id: `supply/${index}`,
      cause: 'supply-air',
      guns: hall.guns.filter(({ spec }) => spec.line === event.line).map(({ spec }) => spec.id),
      shape: 'span',
      onset: iso(event.start),
      end: iso(event.end),
      endedBy: 'itself',
      endLogged: false,
      size: event.size,
      measure: event.kind === 'sag' ? 'line pressure, bar' : 'loss of pumping effect from wet air, share',
      limit: null,
      reached70: null,
    }));
  const lots: TruthEvent[] = hall.badLots.map((lot, index) => ({
    id: `lot/${index}`,
    cause: 'powder',
    guns: ids,
    shape: 'span',
    onset: iso(lot.start),
    end: iso(lot.end),
    endedBy: 'itself',
    endLogged: false,
    size: 1 - lot.factor,
    measure: `loss of pumping effect with ${hall.air.powders[lot.powder]!.id}, share`,
    limit: null,
    reached70: null,
  }));
  return Truth.parse({
    scenario: hall.scenario.name,
    seed: hall.seed,
    start: iso(startMs),
    end: iso(endMs),
    guns: hall.guns.map(gunTruth),
    events: [
      ...hall.guns.flatMap(({ spec, state }) =>
        state.faults.filter(({ started }) => started).map((fault) => eventOf(fault, spec.id)),
      ),
      ...supply,
      ...lots,
    ],
    traps: [],
    changes: hall.guns.flatMap(({ maintenance }) => maintenance.changes),
  });
}
