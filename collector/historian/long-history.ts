import { AppError, type Frames, formatTime } from '../contract/index.ts';
import type { Store } from '../store/store.ts';
import type { ReadableTarget } from './target.ts';

/** A long-term store that can be read, and under which site it has the readings. */
export interface ReadableHistory {
  readonly target: ReadableTarget;
  readonly site: string;
  /** For messages. */
  readonly name: string;
}

/**
 * Readings of a station in [from, to), in blocks of ascending times: those that retention took away from the embedded store
 * are read back from the long-term one.
 *
 * @param history null where none can be read: then only what is here comes
 * @throws {AppError} STORE_UNUSABLE when the long-term store is needed and cannot be read
 */
export async function* longHistory(
  store: Store,
  history: ReadableHistory | null,
  station: string,
  from: number,
  to: number,
): AsyncGenerator<Frames> {
  const rawFrom = store.readings.thinnedAway(station)?.rawFrom ?? from;
  if (history === null || rawFrom <= from) {
    yield* store.readings.iterateFrames(station, from, to);
    return;
  }
  try {
    yield* history.target.read(history.site, station, from, Math.min(to, rawFrom));
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    throw new AppError(
      'STORE_UNUSABLE',
      `${history.name}: cannot be read (${message}); readings of ${station} before ${formatTime(rawFrom)} are only there`,
      { cause: error },
    );
  }
  if (to > rawFrom) yield* store.readings.iterateFrames(station, rawFrom, to);
}
