import type { z } from 'zod';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import type { Plant } from '../../collector/contract/plant.ts';
import { plantOf } from '../output/plant-file.ts';
import { demoPlan } from '../scenarios/demo.ts';
import { publishHall } from './publish-hall.ts';

/** The plant file of the demo, as the contract has it. It does not depend on the time. */
export function demoPlant(seed = 1): z.input<typeof Plant> {
  return plantOf(demoPlan(Date.UTC(2026, 0, 7, 9), seed).hall);
}

/**
 * Publishes the demo: eight weeks of history as fast as the broker acknowledges, then live without end.
 *
 * @param task.now the clock, epoch ms
 * @param task.onLog takes the maintenance of each day before its readings go out; the readings wait for it
 * @param task.workDone asked, once live, for work that others have done: the guns then feel it
 * @param task.onProgress told how far in event time, and when the past is done
 * @throws {AppError} PORT_UNUSABLE when the broker cannot be used
 */
export async function publishDemo(task: {
  readonly url: string;
  readonly now: () => number;
  readonly signal: AbortSignal;
  readonly seed?: number;
  readonly root?: string;
  /** What lies before is known already and not told, epoch ms. */
  readonly since?: number;
  readonly onLog?: (entries: readonly LogEntry[]) => Promise<void>;
  readonly workDone?: () => Promise<readonly LogEntry[]>;
  readonly onProgress?: (progress: { reachedMs: number; live: boolean; readings: number }) => void;
  readonly onTrouble?: (message: string) => void;
}): Promise<void> {
  const { hall, days } = demoPlan(task.now(), task.seed);
  await publishHall({
    hall,
    days: days(),
    url: task.url,
    root: task.root ?? 'airlines',
    now: task.now,
    speed: Number.POSITIVE_INFINITY,
    signal: task.signal,
    since: task.since,
    onLog: task.onLog,
    workDone: task.workDone,
    onProgress: task.onProgress,
    onTrouble: task.onTrouble,
  });
}
