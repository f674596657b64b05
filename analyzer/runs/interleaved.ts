import type { StationFact } from '../site.ts';

/** Share of a low spraying flow that counts as air at full. Source: own choice, above what a rising line shows. */
const FULL_SHARE = 0.7;

/**
 * Two readings at full that are nearer than this, in usual intervals and in ms, leave no room for a pause: lines take a
 * second to empty and another to fill. Source: own choice; nodes that report a pulled trigger at once shorten intervals.
 */
const NO_ROOM = 1.3;
const NO_ROOM_MS = 2600;

/** So many impossible pauses within an hour are no chance. Source: own choice. */
const ENOUGH = 3;
const WINDOW_MS = 3_600_000;

/** Watches for two series of readings that run through each other: a clock that was set back tells the same hour twice. */
export interface Interleaving {
  fullAt: number;
  /** Readings without air since. */
  empty: number;
  events: number;
  firstEvent: number;
  quietUntil: number;
}

export function startInterleaving(): Interleaving {
  return { fullAt: 0, empty: 0, events: 0, firstEvent: 0, quietUntil: 0 };
}

/**
 * Takes in one reading of conveying flow. Air at full, none, and at full again within two seconds is
 * more than a line can do: the reading between is of another hour.
 *
 * @param sprayingNm3h a low usual flow while spraying, 0 while it is not known
 * @param offNm3h flow below which no air is used
 * @param intervalMs usual time between readings while spraying, 0 while it is not known
 * @returns a fact when that has happened too often, else null
 */
export function watchInterleaving(
  watch: Interleaving,
  station: string,
  time: number,
  flowNm3h: number,
  sprayingNm3h: number,
  offNm3h: number,
  intervalMs: number,
): StationFact | null {
  if (sprayingNm3h === 0 || intervalMs === 0) return null;
  if (flowNm3h <= offNm3h) {
    watch.empty++;
    return null;
  }
  if (flowNm3h < FULL_SHARE * sprayingNm3h) {
    watch.empty = 2;
    return null;
  }
  const impossible = watch.empty === 1 && time - watch.fullAt <= Math.min(NO_ROOM_MS, NO_ROOM * intervalMs);
  watch.fullAt = time;
  watch.empty = 0;
  if (!impossible || time < watch.quietUntil) return null;
  if (watch.events === 0 || time - watch.firstEvent > WINDOW_MS) {
    watch.events = 0;
    watch.firstEvent = time;
  }
  if (++watch.events < ENOUGH) return null;
  watch.events = 0;
  watch.quietUntil = time + WINDOW_MS;
  return {
    kind: 'clock',
    station,
    time,
    offsetMs: null,
    detail: 'two series of readings run through each other: the clock of the node was set back',
  };
}
