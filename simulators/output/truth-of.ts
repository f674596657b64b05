import { FAULT_MEASURES, type Fault } from '../gun/fault.ts';
import type { GunSimulation } from '../gun/gun-simulation.ts';
import type { Hall } from '../scenarios/hall.ts';
import { Truth, type TruthEvent } from '../truth.ts';
import { trapsOf } from './truth-traps.ts';

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
    measure: plan.sensor ? `${plan.sensor.kind}: ${FAULT_MEASURES.sensor}` : FAULT_MEASURES[plan.cause],
    limit: plan.shape === 'ramp' ? plan.size : null,
    reached70: fault.reached70 === null ? null : iso(fault.reached70),
    sprayHours: fault.sprayMs / 3_600_000,
  };
}

function commonEvents(hall: Hall): TruthEvent[] {
  const events: TruthEvent[] = [];
  const base = { shape: 'span', endedBy: 'itself', endLogged: false, limit: null, reached70: null } as const;
  for (const [index, event] of hall.supplyEvents.entries()) {
    if (event.kind === 'low-setting') continue;
    const guns = hall.guns.filter(({ spec }) => spec.line === event.line);
    events.push({
      ...base,
      id: `supply/${index}`,
      cause: 'supply-air',
      guns: guns.map(({ spec }) => spec.id),
      onset: iso(event.start),
      end: iso(event.end),
      size: event.size,
      measure: event.kind === 'sag' ? 'line pressure, bar' : 'loss of pumping effect from wet air, share',
      sprayHours: Math.min(...guns.map((gun) => gun.history.sprayHoursBetween(event.start, event.end, null))),
    });
  }
  for (const [index, lot] of hall.badLots.entries())
    for (const gun of hall.guns) {
      const sprayHours = gun.history.sprayHoursBetween(lot.start, lot.end, lot.powder);
      if (sprayHours === 0) continue;
      events.push({
        ...base,
        id: `lot/${index}/${gun.spec.id}`,
        cause: 'powder',
        guns: [gun.spec.id],
        onset: iso(lot.start),
        end: iso(lot.end),
        size: 1 - lot.factor,
        measure: `loss of pumping effect with ${hall.air.powders[lot.powder]!.id}, share`,
        sprayHours,
      });
    }
  return events;
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
      ...commonEvents(hall),
    ],
    traps: trapsOf(hall, endMs),
    changes: hall.guns.flatMap(({ maintenance }) => maintenance.changes),
  });
}
