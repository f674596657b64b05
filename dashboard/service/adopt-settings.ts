import { isDeepStrictEqual } from 'node:util';
import { Settings } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';

/**
 * Makes sure that the store has a settings version, and that `given` is its current one: settings that differ become a
 * new version from `now` on. The very first version holds from the beginning of the readings.
 *
 * @param given of the settings file; null when none was given
 * @returns the version that holds now, and whether it is new
 */
export function adoptSettings(
  store: Store,
  given: Settings | null,
  now: number,
): { readonly version: number; readonly added: boolean } {
  return store.transaction(() => {
    const current = store.settings.list().at(-1);
    if (current === undefined) {
      const first = { adopted: 0, recordedAt: now, who: 'service', why: given ? 'settings file' : 'defaults' };
      return { version: store.settings.add(given ?? Settings.parse({}), first).version, added: true };
    }
    if (given === null || isDeepStrictEqual(given, current.settings)) return { version: current.version, added: false };
    const record = { adopted: Math.max(now, current.adopted), recordedAt: now, who: 'service', why: 'settings file' };
    return { version: store.settings.add(given, record).version, added: true };
  });
}
