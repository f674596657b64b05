import { RUN_FIELDS, type RunTable } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';

const MINUTE_MS = 60_000;

/**
 * Two days of runs up to noon, a run each ten minutes.
 *
 * @param flowOf conveying air of the run in a row, m3/h
 */
export function sprayedRuns(store: Store, flowOf: (row: number) => number = () => 3.3): void {
  const starts = Array.from({ length: 288 }, (_, index) => NOON - (288 - index) * 10 * MINUTE_MS);
  const given: Partial<Record<string, number>> = {
    sprayMs: MINUTE_MS,
    samples: 20,
    powder: 0,
    output: 180,
  };
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => [
      field,
      Float64Array.from(starts, (start, row) => {
        if (field === 'conveyingFlow') return flowOf(row);
        return field === 'start' ? start : field === 'end' ? start + MINUTE_MS : (given[field] ?? Number.NaN);
      }),
    ]),
  ) as RunTable['columns'];
  store.runs.replace('gun-01', 0, { gun: 'gun-01', length: starts.length, columns, powders: ['p-white'] });
}

/** A hall whose gun-01 sprayed so, which its history has taken in, and the address of the last day of it. */
export async function sprayedDay(
  flowOf?: (row: number) => number,
): Promise<{ made: ReturnType<typeof deskSources>; path: string }> {
  const made = deskSources();
  sprayedRuns(made.store, flowOf);
  await made.sources.histories!.parquet('gun-01', 0, 1);
  const [from, to] = [NOON - 24 * 60 * MINUTE_MS, NOON].map((ms) => new Date(ms).toISOString());
  return { made, path: `/history?gun=gun-01&from=${from}&to=${to}` };
}
