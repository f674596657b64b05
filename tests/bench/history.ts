import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { runDriftline } from './started.ts';

/** Files of a simulated hall: `driftline simulate` writes some 2.6 million rows of eight guns and their wear. */
export interface History {
  readonly plant: string;
  readonly log: string;
  readonly readings: readonly string[];
}

export async function simulateHistory(dir: string, quick: boolean): Promise<History> {
  const out = join(dir, 'hall');
  await runDriftline(dir, ['simulate', '--scenario', 'insert-lives', '--seed', '1', '--out', out]);
  const readings = readdirSync(out)
    .filter((name) => name.endsWith('.csv.gz'))
    .sort();
  const taken = quick ? readings.slice(0, 1) : readings;
  return { plant: join(out, 'plant.yaml'), log: join(out, 'log.csv'), readings: taken.map((name) => join(out, name)) };
}
