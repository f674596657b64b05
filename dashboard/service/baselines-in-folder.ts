import { type BaselineAnswer, gunBaseline, storedViews } from '../../analyzer/index.ts';
import { AppError, type Plant } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/index.ts';
import type { BaselineSource } from '../server/index.ts';
import { baselineDesk } from './baseline-desk.ts';
import { recordedPlant } from './plant-record.ts';

/**
 * What people say of baselines, in a data folder, also while a service runs on it: it follows within a second or so.
 *
 * @param now wall clock, epoch ms
 * @throws {AppError} STORE_UNUSABLE; USAGE for what a request would be refused for
 */
export function withBaselines<T>(dir: string, now: number, act: (baselines: BaselineSource) => T): T {
  const store = openStore(dir);
  try {
    const plant = recordedPlant(store, dir);
    const views = (): ReturnType<typeof storedViews> => storedViews(store, plant);
    return act(baselineDesk({ store, plant, views, now: () => now, changed: () => undefined, source: 'cli' }));
  } catch (error) {
    if (error instanceof AppError && error.code === 'BODY_INVALID')
      throw new AppError('USAGE', error.message.replace(/^#\//, '--'), { cause: error });
    throw error;
  } finally {
    store.close();
  }
}

/** A gun's baseline and the plant that it is of, likewise. @throws {AppError} STORE_UNUSABLE, USAGE for an unknown gun */
export function baselineInFolder(dir: string, gun: string): { readonly answer: BaselineAnswer; readonly plant: Plant } {
  const store = openStore(dir);
  try {
    const plant = recordedPlant(store, dir);
    if (!plant.guns.some(({ id }) => id === gun))
      throw new AppError(
        'USAGE',
        `--gun: found "${gun}", expected one of ${plant.guns.map(({ id }) => id).join(', ')}`,
      );
    return { answer: gunBaseline(store, plant, gun), plant };
  } finally {
    store.close();
  }
}
