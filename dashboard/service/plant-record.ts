import { AppError, Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';

const KEY = 'plant';

/** Keeps the plant with the data, so that commands that are only given the folder know its guns. */
export function recordPlant(store: Pick<Store, 'states'>, plant: Plant): void {
  const bytes = Buffer.from(JSON.stringify(plant));
  const before = store.states.get(KEY);
  if (before === null || !bytes.equals(before)) store.states.put(KEY, bytes);
}

/** Whether a service has run on this folder, or an import, so that its plant is known. */
export function plantIsRecorded(store: Store): boolean {
  return store.states.get(KEY) !== null;
}

/**
 * The plant that the last service on this folder had, or the last import into it beside none.
 *
 * @throws {AppError} STORE_UNUSABLE when neither ever ran on it
 */
export function recordedPlant(store: Store, dir: string): Plant {
  const bytes = store.states.get(KEY);
  if (bytes === null)
    throw new AppError(
      'STORE_UNUSABLE',
      `data folder ${dir}: nothing has run on it yet, so its guns are not known; expected one that "driftline serve" or "driftline import" has used`,
    );
  return Plant.parse(JSON.parse(Buffer.from(bytes).toString('utf8')));
}
