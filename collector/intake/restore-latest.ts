import { CHANNEL_NAMES } from '../contract/channels.ts';
import type { Store } from '../store/store.ts';
import type { StationLatest } from './latest.ts';

/** How far before a station's last reading its other channels are looked for, ms. Source: own choice, because idle nodes
 * report at least once in some minutes. */
const RESTORED_MS = 600_000;

/** Brings back a station's newest readings of before the start, the first time that somebody asks for them. */
export function restoreLatest(store: Store, latest: StationLatest, known: Map<string, number>, station: string): void {
  const lastTime = known.get(station)!;
  known.delete(station);
  // Behind what is damaged, which is told elsewhere.
  const damaged = store.readings.damaged(station, lastTime - RESTORED_MS, lastTime + 1).map(({ to }) => to + 1);
  const from = Math.max(lastTime - RESTORED_MS, ...damaged);
  if (from <= lastTime) latest.restore(store.readings.frames(station, from, lastTime + 1, CHANNEL_NAMES));
}
