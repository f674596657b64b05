import { AppError, type Plant } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/index.ts';
import { RequestFault, type ShopSource } from '../server/index.ts';
import { shopBasis } from '../shop/basis.ts';
import { openShop } from '../shop/open-shop.ts';
import { openUpkeep } from '../upkeep/open-upkeep.ts';
import { shownJobs } from '../upkeep/shown-jobs.ts';
import { keptViews } from './kept-views.ts';
import { missingRuns } from './missing-runs.ts';
import { recordedPlant } from './plant-record.ts';

/**
 * Shelf, lives, costs and journal of a data folder, also while a service runs on it.
 *
 * @param now wall clock, epoch ms
 * @param act what it reckons is without the spray runs that its `missing` names afterwards: damage is met by who reads
 * @throws {AppError} STORE_UNUSABLE; USAGE for what a request would be refused for
 */
export async function withShop<T>(
  dir: string,
  now: number,
  act: (shop: ShopSource, plant: Plant, missing: () => readonly string[]) => T | Promise<T>,
): Promise<T> {
  const store = openStore(dir);
  try {
    const views = keptViews(store);
    const plant = recordedPlant(store, dir);
    const basis = { ...shopBasis(store, plant, () => now), views: () => views };
    const findings = store.findings.list().map(({ finding }) => finding);
    const upkeep = openUpkeep(basis, { findings: () => findings, changed: () => undefined });
    const shop = openShop(basis, { jobs: () => shownJobs(upkeep.loop()), calendar: () => upkeep.calendar().value });
    return await act(shop, plant, () => missingRuns(store, plant));
  } catch (error) {
    if (error instanceof RequestFault) throw new AppError('USAGE', error.message, { cause: error });
    throw error;
  } finally {
    store.close();
  }
}
