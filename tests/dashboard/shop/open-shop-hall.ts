import { onTestFinished } from 'vitest';
import type { GunView } from '../../../analyzer/index.ts';
import { USUAL_CALENDAR } from '../../../analyzer/index.ts';
import { RUN_FIELDS, type RunTable } from '../../../collector/contract/runs.ts';
import { openStore, type Store } from '../../../collector/index.ts';
import { shopBasis } from '../../../dashboard/shop/basis.ts';
import { openShop } from '../../../dashboard/shop/open-shop.ts';
import { tempDir } from '../../collector/store/temp-dir.ts';
import { hall } from '../hall.ts';
import { NOON } from '../hall-guns.ts';
import { type OpenHall, openHall } from '../open-hall.ts';

export const HOUR = 3_600_000;
export const DAY = 24 * HOUR;
export { NOON };

/** Runs of 12 spray minutes in each of 8 hours of each day before noon, so 1.6 spray hours and 14.4 kg a day. */
export function daysOfRuns(gun: string, days: number, flow = 2.2): RunTable {
  const starts = Array.from(
    { length: days * 8 },
    (_, index) => NOON - days * DAY + Math.floor(index / 8) * DAY + (index % 8) * HOUR,
  );
  const given: Partial<Record<(typeof RUN_FIELDS)[number], number>> = {
    sprayMs: 0.2 * HOUR,
    samples: 100,
    powder: 0,
    output: 150,
    conveyingFlow: flow,
  };
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => [
      field,
      Float64Array.from(starts, (start) =>
        field === 'start' ? start : field === 'end' ? start + 0.2 * HOUR : (given[field] ?? Number.NaN),
      ),
    ]),
  ) as RunTable['columns'];
  return { gun, length: starts.length, columns, powders: ['p-white'] };
}

export interface ShopHall extends OpenHall {
  readonly store: Store;
  /** Changes that were told to the analysis. */
  readonly logChanges: () => number;
  put(path: string, body: unknown): ReturnType<OpenHall['get']>;
  changed(part: string, daysAgo: number, found?: 'good' | 'worn' | 'failed', gun?: string): number;
}

/** The invented hall with a real store behind shelf, lives and costs: 100 days of runs of two guns. */
export async function shopHall(views: (view: GunView) => GunView = (view) => view): Promise<ShopHall> {
  const store = openStore(tempDir(), { create: true });
  onTestFinished(() => store.close());
  const made = hall({ views: (view) => views(view) });
  for (const gun of ['gun-01', 'gun-02']) store.runs.replace(gun, 0, daysOfRuns(gun, 100));
  let logChanges = 0;
  const { plant } = made.sources;
  const shop = openShop(
    { ...shopBasis(store, plant, () => NOON), views: made.sources.views, logChanged: () => logChanges++ },
    { jobs: made.sources.jobs, calendar: () => USUAL_CALENDAR },
  );
  const open = await openHall({ sources: { ...made.sources, shop } });
  return {
    ...open,
    store,
    logChanges: () => logChanges,
    put: (path, body) =>
      open.get(path, { method: 'PUT', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) }),
    changed: (part, daysAgo, found, gun = 'gun-01') =>
      store.log.add(
        { time: NOON - daysAgo * DAY, gun, part, action: 'replaced', found: found ?? null, note: '' },
        { recordedAt: NOON, source: 'api', who: 'Ann' },
      ).entry.id,
  };
}
