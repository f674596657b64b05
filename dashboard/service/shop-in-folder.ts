import { USUAL_CALENDAR } from '../../analyzer/index.ts';
import { AppError, type Plant } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/index.ts';
import { RequestFault, type ShopSource } from '../server/index.ts';
import { shopBasis } from '../shop/basis.ts';
import { openShop } from '../shop/open-shop.ts';
import { keptViews } from './kept-views.ts';
import { recordedPlant } from './plant-record.ts';

/**
 * Shelf, lives, costs and journal of a data folder, also while a service runs on it.
 *
 * @param now wall clock, epoch ms
 * @throws {AppError} STORE_UNUSABLE; USAGE for what a request would be refused for
 */
export async function withShop<T>(
  dir: string,
  now: number,
  act: (shop: ShopSource, plant: Plant) => T | Promise<T>,
): Promise<T> {
  const store = openStore(dir);
  try {
    const views = keptViews(store);
    const plant = recordedPlant(store, dir);
    const basis = { ...shopBasis(store, plant, () => now), views: () => views };
    return await act(openShop(basis, { jobs: () => [], calendar: () => USUAL_CALENDAR }), plant);
  } catch (error) {
    if (error instanceof RequestFault) throw new AppError('USAGE', error.message, { cause: error });
    throw error;
  } finally {
    store.close();
  }
}
