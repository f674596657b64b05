import { randomBytes } from 'node:crypto';
import { type Actor, type BookTools, openStore } from '../../collector/index.ts';
import { plantIsRecorded, recordedPlant } from './plant-record.ts';
import { rememberedUrl } from './service-url.ts';

/** What account commands work with, on a data folder that a service may be running on. */
export interface AccountDesk extends BookTools {
  readonly actor: Actor;
  /** Ids of guns and air points; null where no service has run on the folder yet. */
  readonly stations: readonly string[] | null;
  /** Address that the service last had. */
  readonly url: string;
}

/**
 * Lends the accounts of a data folder to `work`.
 *
 * @param create makes the folder where there is none: accounts may be set up before the first start
 * @param who name of whoever works with them, for the audit trail
 * @param now wall clock, epoch ms
 * @throws {AppError} STORE_UNUSABLE, and whatever `work` throws
 */
export async function atAccountDesk<T>(
  {
    dir,
    create,
    who,
    now,
  }: { readonly dir: string; readonly create: boolean; readonly who: string; readonly now: number },
  work: (desk: AccountDesk) => T | Promise<T>,
): Promise<T> {
  const store = openStore(dir, { create });
  try {
    const plant = plantIsRecorded(store) ? recordedPlant(store, dir) : null;
    return await work({
      store,
      random: randomBytes,
      actor: { who, origin: 'command line', now },
      stations: plant === null ? null : [...plant.guns, ...plant.air].map(({ id }) => id),
      url: rememberedUrl(store),
    });
  } finally {
    store.close();
  }
}
