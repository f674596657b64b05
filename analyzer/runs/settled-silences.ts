import type { Plant } from '../../collector/contract/index.ts';
import type { Track } from '../site.ts';
import { type ShiftState, shiftsUntil } from './clock-shift.ts';
import { type MissingState, missingUntil } from './missing-data.ts';

const DAY_MS = 24 * 3_600_000;

/**
 * How long comings and goings are kept before they are settled, ms; and where a gun is away, at most. Source: own choice: what comes late is
 * seldom older than a week, and a gun that is away for two months is compared with nobody when it comes back.
 */
const KEPT_MS = 7 * DAY_MS;
const LONGEST_MS = 60 * DAY_MS;
/** Comings and goings that near the end are still compared with those after it, ms: more than guns of a hall are apart. Source: own choice. */
const NEAR_MS = 6 * 3_600_000;
/** Facts hold for less than this after they were noticed, ms: see `diagnose/judge-site.ts`. */
const HOLDS_MS = 3 * DAY_MS;

/** What the silences of a site's stations came to before a time, so that they themselves need not be held. Plain data. */
export interface SettledSilences {
  readonly missing: MissingState;
  readonly shifts: ShiftState;
}

/** Facts of stations that were over before this are of no more use to whoever looks from `looksFrom` on; 0 where nothing is settled. */
export function neededFrom(settled: SettledSilences | null): number {
  return settled === null ? 0 : settled.missing.before - NEAR_MS;
}

/** Whether who goes on from a reading time may do so with what is settled; else all facts must be gone through. */
export function serves(settled: SettledSilences, from: number): boolean {
  return from >= settled.missing.before + HOLDS_MS;
}

/**
 * Settles what lies far enough back.
 *
 * @param tracks with all silences since those that are settled; asked for when a day has gone by
 * @param newest reading time of each station's newest reading
 * @param known reading time up to which the site is looked at, epoch ms
 * @returns the same where no day has gone by
 */
export function settleSilences(
  plant: Plant,
  tracks: () => ReadonlyMap<string, Track>,
  newest: readonly number[],
  known: number,
  since: SettledSilences | null,
): SettledSilences | null {
  const away = newest.filter((time) => known - time > KEPT_MS);
  const oldest = Math.max(known - LONGEST_MS, Math.min(known - KEPT_MS, ...away.map((time) => time - NEAR_MS)));
  const before = Math.floor(oldest / DAY_MS) * DAY_MS;
  if (before <= (since?.missing.before ?? 0)) return since;
  const stations = tracks();
  return {
    missing: missingUntil(plant, stations, before, since?.missing ?? null),
    shifts: shiftsUntil(plant, stations, before, since?.shifts ?? null),
  };
}
