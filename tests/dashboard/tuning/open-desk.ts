import { onTestFinished } from 'vitest';
import { knownSpan, startHistories } from '../../../analyzer/index.ts';
import { Settings } from '../../../collector/contract/index.ts';
import { openStore, type Store } from '../../../collector/index.ts';
import { tuning } from '../../../dashboard/service/tuning.ts';
import { tempDir } from '../../collector/store/temp-dir.ts';
import { hall } from '../hall.ts';
import { NOON } from '../hall-guns.ts';
import { manualClock } from '../manual-clock.ts';
import { type OpenHall, openHall } from '../open-hall.ts';

export interface Desk extends OpenHall {
  readonly store: Store;
  /** How often the analysis was told to look again. */
  readonly looks: () => number;
}

/** Sources of the invented hall with a real store behind settings, judgements and histories. */
export function deskSources(): Pick<Desk, 'store' | 'looks' | 'sources'> {
  const dir = tempDir();
  const store = openStore(dir, { create: true });
  const made = hall();
  let looks = 0;
  store.settings.add(Settings.parse({}), { adopted: 0, recordedAt: NOON - 1000, who: 'service', why: 'defaults' });
  const { plant } = made.sources;
  const desk = tuning({
    store,
    dir,
    plant,
    maxPieceBytes: 4_000_000,
    maxBundleBytes: 2 ** 20,
    clock: manualClock(NOON),
    changed: () => looks++,
  });
  const histories = startHistories({ dir, plant });
  onTestFinished(async () => {
    await Promise.all([desk.stop(), histories.stop()]);
    store.close();
  });
  const known = (gun: string): ReturnType<typeof knownSpan> => knownSpan(store, gun);
  return { store, looks: () => looks, sources: { ...made.sources, tuning: desk, histories, knownSpan: known } };
}

/** The same behind a running server. */
export async function openDesk(): Promise<Desk> {
  const made = deskSources();
  return { ...(await openHall({ sources: made.sources })), ...made };
}
