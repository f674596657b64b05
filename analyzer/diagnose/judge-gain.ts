import { usualElasticity } from '../baseline/excess-air.ts';
import { takeBackGain } from '../baseline/gain-watch.ts';
import { STIR } from '../baseline/lot-or-insert.ts';
import type { GainWatch } from '../baseline/pump-pool.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { isDismissed } from './dismissed.ts';
import { findOpen } from './finding-book.ts';
import type { Bench } from './site-view.ts';
import { isSettled, takeNewInsert } from './step-end.ts';

/**
 * Spray hours over which a gain is gathered before it is weighed, and after which it is given up, where operators first have to turn the air down. Source: own
 * choice, some fifteen blocks, and as long as a logged change is waited for.
 */
const HOURS = { first: 2, read: 2, set: 6 };
/** Deviation of a new normal, ln of output. Source: own choice, what lots do. */
const NORMAL = 0.06;
/**
 * Deviation of what meters, boxes and recipes do (ln of output), and how much rarer it is than a new normal: without it a gain far beyond what was lost would speak for the insert,
 * because that is known less well. Source: own choice: a third of the output; one in ten.
 */
const ELSE = { sd: 0.3, odds: Math.log(0.1) };
/** ln odds that a new insert needs, and how much more with another powder, which would do as well. Source: own choice: 8 to 1; four to one. */
const SURETY = { alone: Math.log(8), powder: Math.log(4) };
/** A change of powder this near to the gain may be its cause, ms. Source: own choice, some three blocks, as for losses. */
const POWDER_MS = 0.75 * 3_600_000;

/**
 * Weighs a sudden gain that stays: an insert that was changed without a word gives back all that was lost, a leak that has healed what it took, a new normal lies about
 * nought. What came back is reckoned against what was believed before it.
 *
 * @returns true when the insert is taken for new
 */
export function judgeGain(bench: Bench): boolean {
  const { memory, pool, book } = bench;
  const gun = pool.guns[memory.id];
  const watch = gun?.watch ?? null;
  if (gun === undefined || watch === null || watch.hours < HOURS.first) return false;
  // What was told of a leak ends by itself once its loss is back.
  if (findOpen(book, memory.id, 'step') !== undefined && watch.hours < HOURS.set) return false;
  const set = bench.gun.output !== 'measured';
  const asked = Math.abs(watch.onset - memory.powderSince) < POWDER_MS ? SURETY.alone + SURETY.powder : SURETY.alone;
  const isNew =
    isSettled(memory, watch.atHours) &&
    newInsertOdds(watch, set ? STIR.set : STIR.read) > asked &&
    !isDismissed(bench, 'pump-insert', watch.onset);
  if (!isNew) {
    if (watch.hours >= (set ? HOURS.set : HOURS.read)) gun.watch = null;
    return false;
  }
  const { gain, lost, lostSd, leak, onset, atHours } = watch;
  const signs = { loss: leak - gain, lossSd: lostSd, elasticity: usualElasticity(pool, memory.id) };
  takeBackGain(pool, gun, watch);
  takeNewInsert(bench, gun, { signs, wear: lost - leak, onset, atHours });
  return true;
}

/** ln odds of a new insert against the likelier of all else, by how much came back. */
export function newInsertOdds(
  { gain, lost, lostSd, leak }: Pick<GainWatch, 'gain' | 'lost' | 'lostSd' | 'leak'>,
  stir: number,
): number {
  const fresh = logDensity(gain - lost, Math.hypot(lostSd, stir, PRIORS.newWear));
  const normal = Math.hypot(stir, NORMAL);
  const other = ELSE.odds + logDensity(gain, ELSE.sd);
  return fresh - Math.max(logDensity(gain, normal), logDensity(gain - leak, normal), other);
}

const logDensity = (off: number, sd: number): number => -0.5 * (off / sd) ** 2 - Math.log(sd);
