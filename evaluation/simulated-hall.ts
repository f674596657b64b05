import type { SiteReadings } from '../analyzer/index.ts';
import { type LogEntry, Plant } from '../collector/contract/index.ts';
import { buildHall, plantOf, runHall, type Truth, truthOf } from '../simulators/index.ts';
import { SimulatedReadings } from './simulated-readings.ts';

/** A simulated hall as an analysis takes it, beside its truth. */
export interface SimulatedHall {
  readonly plant: Plant;
  readonly log: readonly LogEntry[];
  readonly readings: SiteReadings;
  readonly truth: Truth;
}

/** Runs a hall from its first to its last day. */
export function simulateHall(scenario: Parameters<typeof buildHall>[0], seed: number): SimulatedHall {
  const hall = buildHall(scenario, seed);
  const sent = new SimulatedReadings();
  let start = Number.POSITIVE_INFINITY;
  let end = Number.NEGATIVE_INFINITY;
  for (const day of runHall(hall))
    for (const reports of day.sent) {
      const { times } = reports.frames;
      if (times.length > 0) {
        start = Math.min(start, times[0]!);
        end = Math.max(end, times.at(-1)!);
      }
      sent.add(reports);
    }
  const log = hall.guns.flatMap(({ maintenance }) => maintenance.log).sort((left, right) => left.time - right.time);
  return { plant: Plant.parse(plantOf(hall)), log, readings: sent.table(), truth: truthOf(hall, start, end) };
}
