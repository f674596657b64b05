import { isDeepStrictEqual } from 'node:util';
import { knownPowders } from '../../analyzer/index.ts';
import { idleOverrides, type Plant, Settings } from '../../collector/contract/index.ts';
import type { Log, Store } from '../../collector/index.ts';

/**
 * Makes sure that the store has a settings version, and that `given` is its current one: settings that differ become a
 * new version from `now` on. The very first version holds from the beginning of the readings.
 *
 * @param given of the settings file; null when none was given
 * @returns the version that holds now, and whether it is new
 */
function adoptSettings(
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

interface AtStart {
  readonly store: Store;
  /** Of the settings file; null when none was given. */
  readonly given: Settings | null;
  readonly plant: Plant;
  readonly now: number;
  readonly log: Log;
}

/** The same at a start of the service: it is logged and audited, and so are overrides of guns and powders that are not there. */
export function adoptAtStart({ store, given, plant, now, log }: AtStart): void {
  const { version, added } = adoptSettings(store, given, now);
  if (added) log.info({ version }, 'settings adopted');
  // Here and not where the file is read: which powders were sprayed, the store alone knows.
  const held = store.settings.list().at(-1)!.settings;
  for (const { sentence } of idleOverrides(held, plant, knownPowders(plant, store.states)))
    log.warn({ version }, sentence);
  if (!added) return;
  const by = { who: 'service', origin: 'start of the service' };
  store.audit.add({ at: now, ...by, what: 'settings adopted', detail: `version ${version}` });
}
