import { type CaseScore, replaySite, scoreCase } from '../analyzer/index.ts';
import { Settings } from '../collector/contract/index.ts';
import { scenarioOf } from '../simulators/index.ts';
import { caseOf } from './case-of.ts';
import { simulateHall } from './simulated-hall.ts';

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
  const { truth, ...hall } = simulateHall(scenarioOf(scenario), seed);
  return scoreCase(caseOf(truth, replaySite({ ...hall, settings: Settings.parse({}) })));
}
