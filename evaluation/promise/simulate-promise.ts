import { type SimulatedPromise, simulatedPromise } from '../../analyzer/index.ts';
import type { Settings } from '../../collector/contract/index.ts';
import { runAll } from '../run-all.ts';
import type { HealthyOutcome, HealthyTask } from './run-healthy-hall.ts';

/** What to simulate, and how. */
export interface SimulatePromise {
  readonly settings: Settings;
  /** At least so many; whole halls of eight guns and half a year each are simulated. */
  readonly gunYears: number;
  /** Seed of the first hall; the following halls have the following ones. */
  readonly firstSeed: number;
  readonly threads: number;
  /** Told how far it has come, 0 to 1. */
  readonly progress: (share: number) => void;
  readonly signal?: AbortSignal | undefined;
}

/** Gun-years of one healthy hall, a little less than it has, so that enough are simulated. Source: see healthyHall. */
const A_HALL = 3.9;

/**
 * Simulates healthy halls from their sensors' reports on, analyses them with the very code that runs live and counts findings against
 * parts. The same settings, seed and program give the same answer.
 *
 * @throws the signal's reason when it was aborted
 */
export async function simulatePromise(options: SimulatePromise): Promise<SimulatedPromise> {
  const { settings, gunYears, firstSeed, threads, progress, signal } = options;
  const halls = Math.max(1, Math.ceil(gunYears / A_HALL));
  const tasks: HealthyTask[] = Array.from({ length: halls }, (_, index) => ({ settings, seed: firstSeed + index }));
  const entry = new URL('./healthy-worker', import.meta.url);
  const outcomes = await runAll<HealthyTask, HealthyOutcome>(
    entry,
    tasks,
    threads,
    (done) => progress(done / halls),
    signal,
  );
  return simulatedPromise(firstSeed, outcomes);
}
