import { type CaseScore, replaySite, scoreCase } from '../analyzer/index.ts';
import { Plant, Settings } from '../collector/contract/index.ts';
import { buildHall, plantOf, runHall, scenarioOf, truthOf } from '../simulators/index.ts';
import { caseOf } from './case-of.ts';
import { SimulatedReadings } from './simulated-readings.ts';

/** One hall to simulate, analyse and score. */
export interface CaseTask {
  readonly scenario: string;
  readonly seed: number;
}

/**
 * Simulates a hall, analyses what its sensors sent, with default settings, and scores what was found.
 *
 * @throws {AppError} USAGE for an unknown scenario
 */
export function runCase({ scenario, seed }: CaseTask): CaseScore {
  const hall = buildHall(scenarioOf(scenario), seed);
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
  const plant = Plant.parse(plantOf(hall));
  const replay = replaySite({ plant, settings: Settings.parse({}), log, readings: sent.table() });
  return scoreCase(caseOf(truthOf(hall, start, end), replay));
}
