import type { PartSight } from '../../analyzer/index.ts';
import { AppError } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/index.ts';
import { keptViews } from './kept-views.ts';

/** What one gun's sensors let be seen, as a service last kept it. */
export interface GunSight {
  readonly gun: string;
  readonly name: string;
  readonly asOf: number | null;
  /** Why its baseline may hold wear as if it were normal; null where nothing speaks for it. */
  readonly wornDoubt: string | null;
  readonly parts: readonly PartSight[];
}

/**
 * What the sensors of guns let be seen, from a data folder, also while a service runs on it.
 *
 * @param gun one gun's id; all when not given
 * @throws {AppError} STORE_UNUSABLE; USAGE where the gun is unknown or no service has analysed readings here yet
 */
export function sightsInFolder(dir: string, gun?: string): GunSight[] {
  const store = openStore(dir);
  try {
    const views = keptViews(store);
    if (views.length === 0)
      throw new AppError('USAGE', `${dir}: no gun was analysed here yet; expected a folder of "driftline serve"`);
    const told = views.filter(({ id }) => gun === undefined || id === gun);
    if (told.length === 0)
      throw new AppError(
        'USAGE',
        `gun "${gun}" is not known here; expected one of ${views.map(({ id }) => id).join(', ')}`,
      );
    return told.map(({ id, name, asOf, sight, wornDoubt }) => ({
      ...{ gun: id, name, asOf, wornDoubt: wornDoubt ?? null, parts: sight ?? [] },
    }));
  } finally {
    store.close();
  }
}
