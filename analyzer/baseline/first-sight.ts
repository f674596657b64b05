import { type GunMemory, hoursKnown } from './gun-memory.ts';
import type { Moments, PumpPool } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';

/** ln of output that the present insert has lost since it was put in, or since the first reading where that is not known. */
export function wornSince({ gaussian: { mean }, guns, rate }: PumpPool, { id, insert }: GunMemory): number {
  const { gunRate, lifeRate } = guns[id]!;
  return insert.clock * (mean[rate]! + mean[gunRate]! + mean[lifeRate]!);
}

/** Level of a gun whose insert has been in since before the first reading, as it was then: its own, less what the insert had lost by then. */
export function levelAtFirstSight(pool: PumpPool, memory: GunMemory): number {
  const { mean } = pool.gaussian;
  const { level, wear } = pool.guns[memory.id]!;
  return mean[level]! - mean[wear]! + wornSince(pool, memory);
}

/**
 * An insert that was logged as new within so long before the first reading is taken for new, ms. Source: own choice, a day's work, which uses up some
 * hundredths of a life.
 */
const AS_NEW_MS = 86_400_000;
/**
 * Time in which an insert is used up, ms, and the deviation of its ln: a busy shop with an abrasive powder takes a week or two, a small one a season.
 * Source: handbook section 2, "a month"; the deviation is own choice.
 */
const LIFE = { ms: 30 * 86_400_000, sd: 0.7 };
/** Loss at which inserts are changed, ln output. Source: own choice, as PRIORS.firstWear has it. */
const USED_UP = 0.28;

/**
 * Before the first block of a gun is taken in: what was logged as new long before its first reading is not new any more, nor what was in while its station was silent and others were
 * not. What it may have sprayed while it was read is known.
 *
 * @param start of that block, epoch ms
 */
export function meetInsert(memory: GunMemory, start: number): void {
  const { since, logged, silent, ...insert } = memory.insert;
  if (silent !== undefined) memory.insert = { ...insert, since, logged };
  if (!logged || since === null) return;
  const first = memory.firstReading > 0 ? Math.min(memory.firstReading, start) : start;
  const unread = silent === undefined ? 0 : silent.ms + (silent.since === null ? 0 : start - silent.since);
  const ms = Math.max(0, first - since) + unread;
  if (ms > AS_NEW_MS) memory.insert = { ...insert, since: null, logged: false, unseen: { since, ms } };
}

/**
 * Of a gun that has not sprayed yet: counts the time in which its station was silent since its insert was put in. One reading long ago says nothing of what was sprayed since.
 *
 * @param from when the silence began that lasts now, epoch ms; null while the station is heard
 */
export function noteSilence({ insert }: GunMemory, from: number | null, now: number): void {
  if (insert.since === null) return;
  const since = from === null ? null : Math.max(from, insert.since);
  if (insert.silent === undefined) {
    if (since !== null) insert.silent = { ms: 0, since };
    return;
  }
  if (since === null && insert.silent.since !== null) insert.silent.ms += now - insert.silent.since;
  if (since === null || insert.silent.since === null) insert.silent.since = since;
}

/** ln of the share of a life that an insert had used at first sight, by the time since it was new, with its deviation; null where nothing tells it. */
export function usedByCalendar({ unseen }: GunMemory['insert']): { readonly log: number; readonly sd: number } | null {
  return unseen === undefined ? null : { log: Math.log(unseen.ms / LIFE.ms), sd: LIFE.sd };
}

/** Loss of a new insert. */
const NEW: Moments = { mean: 0, sd: PRIORS.newWear };

/** Loss of the insert that is in at first sight, ln output. */
export function wearAtFirstSight({ insert }: Pick<GunMemory, 'insert'>): Moments {
  if (insert.logged) return NEW;
  const used = usedByCalendar(insert);
  if (used === null) return PRIORS.firstWear;
  // Log-normal, as far as any use goes that people allow.
  const mean = Math.min(USED_UP * Math.exp(used.log + used.sd ** 2 / 2), PRIORS.firstWear.mean + PRIORS.firstWear.sd);
  return { mean, sd: Math.min(mean * Math.sqrt(Math.expm1(used.sd ** 2)), PRIORS.firstWear.sd) };
}

/** Spray hours from which a level at first sight is worth keeping. Source: own choice, half a shift. */
const KEPT_HOURS = 2;

/** Before an insert of unknown age makes room for another: keeps how the gun was first seen with it, so that the change can tell how old it was. */
export function keepFirstSight(pool: PumpPool, memory: GunMemory): void {
  if (memory.insert.since !== null || memory.runs === 0) return;
  const told = pool.guns[memory.id] !== undefined && hoursKnown(memory) >= KEPT_HOURS;
  memory.met = { level: told ? pool.gaussian.mean[pool.level]! + levelAtFirstSight(pool, memory) : null };
}
