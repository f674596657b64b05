import { AppError, type Plant } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/index.ts';
import { RequestFault, type UpkeepSource } from '../server/index.ts';
import { shopBasis } from '../shop/basis.ts';
import { openUpkeep } from '../upkeep/open-upkeep.ts';
import { keptViews } from './kept-views.ts';
import { missingRuns } from './missing-runs.ts';
import { recordedPlant } from './plant-record.ts';

/**
 * The maintenance loop of a data folder, also while a service runs on it. What the analysis says is what the store last kept of it.
 *
 * @param now wall clock, epoch ms
 * @param act what it reckons is without the spray runs that its `missing` names afterwards: damage is met by who reads
 * @throws {AppError} STORE_UNUSABLE; USAGE for what a request would be refused for
 */
export function withUpkeep<T>(
  dir: string,
  now: number,
  act: (upkeep: UpkeepSource, plant: Plant, missing: () => readonly string[]) => T,
): T {
  const store = openStore(dir);
  try {
    const plant = recordedPlant(store, dir);
    const views = keptViews(store);
    const findings = store.findings.list().map(({ finding }) => finding);
    const basis = { ...shopBasis(store, plant, () => now), views: () => views };
    return act(openUpkeep(basis, { findings: () => findings, changed: () => undefined }), plant, () =>
      missingRuns(store, plant),
    );
  } catch (error) {
    if (error instanceof RequestFault) throw new AppError('USAGE', error.message, { cause: error });
    throw error;
  } finally {
    store.close();
  }
}
