import { AppError } from '../../collector/contract/index.ts';
import { type OperationConfig, openStore } from '../../collector/index.ts';
import type { TellingSource } from '../server/index.ts';
import { tellingState } from '../telling/telling-state.ts';
import { putTest } from '../telling/test-message.ts';
import { recordedPlant } from './plant-record.ts';

/**
 * What people are told from a data folder, also while a service runs on it: that one takes the messages to their targets.
 *
 * @param config whom the service tells
 * @param now wall clock, epoch ms
 * @throws {AppError} STORE_UNUSABLE; USAGE where a test has nobody to go to
 */
export function withTelling<T>(
  dir: string,
  { config, now }: { readonly config: OperationConfig['telling']; readonly now: number },
  act: (telling: TellingSource) => T,
): T {
  const store = openStore(dir);
  try {
    return act({
      state: (limit) => tellingState(store, config, limit),
      test: (who) => {
        const targets = putTest({ store, plant: recordedPlant(store, dir), config, now }, who);
        if (targets.length === 0)
          throw new AppError(
            'USAGE',
            'telling: found neither mail nor webhooks in the configuration, expected one or more',
          );
        return targets;
      },
    });
  } finally {
    store.close();
  }
}
