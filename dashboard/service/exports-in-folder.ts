import type { Plant } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/index.ts';
import { openExports } from '../export/open-exports.ts';
import type { ExportSource } from '../server/index.ts';
import { shopBasis } from '../shop/basis.ts';
import { openShop } from '../shop/open-shop.ts';
import { openUpkeep } from '../upkeep/open-upkeep.ts';
import { shownJobs } from '../upkeep/shown-jobs.ts';
import { keptViews } from './kept-views.ts';
import { missingRuns } from './missing-runs.ts';
import { recordedPlant } from './plant-record.ts';

/**
 * Everything that a data folder keeps, as tables; also while a service runs on it.
 *
 * @param now wall clock, epoch ms
 * @param act what it reckons is without the spray runs that its `missing` names afterwards: damage is met by who reads
 * @throws {AppError} USAGE, STORE_UNUSABLE
 */
export async function withExports(
  dir: string,
  now: number,
  act: (source: ExportSource, plant: Plant, missing: () => readonly string[]) => Promise<void>,
): Promise<void> {
  const store = openStore(dir);
  try {
    const plant = recordedPlant(store, dir);
    const views = keptViews(store);
    const findings = store.findings.list().map(({ finding }) => finding);
    const basis = { ...shopBasis(store, plant, () => now), views: () => views };
    const upkeep = openUpkeep(basis, { findings: () => findings, changed: () => undefined });
    const shop = openShop(basis, { jobs: () => shownJobs(upkeep.loop()), calendar: () => upkeep.calendar().value });
    await act(openExports({ store, plant, upkeep, shop }), plant, () => missingRuns(store, plant));
  } finally {
    store.close();
  }
}
