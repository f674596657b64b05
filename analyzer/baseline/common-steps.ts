import { decayQuantity, restartTrace, type StepTrace, takeStep } from './gaussian-state.ts';
import { beginLot, noteMoved } from './lot-heard.ts';
import { isLikelierInsert } from './lot-or-insert.ts';
import type { PumpGun, PumpPool, PumpPowder } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';
import { beginShared, movedAlike, noteShared, othersMoved, restartShared, type SharedStart } from './shared-starts.ts';
import { evidenceFor, mostEvidenceFor } from './step-evidence.ts';

/** Mean of how much wider than believed the innovations of guns spread: evidence counts for that much less. */
function unrestOf(guns: Readonly<Record<string, PumpGun>>): number {
  let sum = 0;
  let count = 0;
  for (const id in guns) {
    sum += Math.max(1, guns[id]!.unrest);
    count++;
  }
  return sum / count;
}

/** Begins to look for another lot: one that came with a campaign just begun, or a box of one in its midst. */
export function followLot(pool: PumpPool, powder: PumpPowder, now: number, campaign: boolean): void {
  const trace = pool.gaussian.traces[powder.trace]!;
  // What is suspected already stays suspected over a night.
  if (campaign && trace.active && evidenceFor(trace, 2 * PRIORS.lot ** 2) > 0) {
    powder.campaign = true;
    return;
  }
  restartTrace(trace, true);
  powder.campaign = campaign;
  powder.traceSince = now;
  powder.said = {};
  powder.lotAt = pool.gaussian.mean[powder.lot]!;
}

const oddsOf = (chance: number): number => Math.log(chance / (1 - chance));
/** ln odds beforehand that another lot came with a campaign, and in its midst. */
const CAMPAIGN_ODDS = oddsOf(PRIORS.lotChange);
const MIDWAY_ODDS = oddsOf(PRIORS.lotMidway);

/**
 * Takes a new lot in once it is beyond doubt that one came, and looks anew once it is beyond doubt that none did. Lots change
 * rarely and at once: a lot that may drift every day would swallow the wear that guns share. In the midst of a campaign
 * most guns have to say so: one alone may leak.
 *
 * @param deviation innovation of this block over its deviation
 */
export function considerLot(pool: PumpPool, powder: PumpPowder, gunId: string, deviation: number, now: number): void {
  const { gaussian } = pool;
  const trace = gaussian.traces[powder.trace]!;
  if (!trace.active) return;
  powder.said[gunId] = (powder.said[gunId] ?? 0) + Math.max(-3, Math.min(3, deviation));
  const most = evidenceFor(trace, 2 * PRIORS.lot ** 2);
  const before = powder.campaign ? CAMPAIGN_ODDS : MIDWAY_ODDS;
  // Unrest only ever draws evidence towards nought: where neither way is far enough without it, it need not be reckoned.
  const far = most < PRIORS.lotDoubt || most + before > PRIORS.lotSurety;
  const evidence = far ? most / unrestOf(pool.guns) : most;
  const odds = evidence + before;
  const sure = odds > PRIORS.lotSurety && (powder.campaign || evidence > PRIORS.midwaySurety);
  const agree = sure ? saySo(powder.said, trace) : 0;
  if (sure && (agree > 0 || (powder.campaign && !areInserts(pool, powder)))) takeLot(pool, powder, now, agree);
  else if (
    evidence < PRIORS.lotDoubt ||
    now - powder.traceSince > (powder.campaign ? PRIORS.common.hours : PRIORS.midwayHours) * 3_600_000
  )
    followLot(pool, powder, now, false);
}

/**
 * Takes a new lot of this powder in, of the size that the innovations since its trace began say.
 *
 * @param agree guns that say so: what one gun alone says may be its own (0), and is not told
 */
export function takeLot(pool: PumpPool, powder: PumpPowder, now: number, agree: number): void {
  const { gaussian } = pool;
  beginLot(powder, powder.lotAt, agree > 0, now);
  const way = Math.sign(gaussian.traces[powder.trace]!.score);
  for (const [gun, sum] of Object.entries(powder.said)) if (movedWith(sum, way)) noteMoved(powder, gun);
  takeStep(gaussian, gaussian.traces[powder.trace]!, powder.lot, 2 * PRIORS.lot ** 2, -1);
  followLot(pool, powder, now, false);
  restartCommon(pool, now);
}

const movedWith = (said: number, way: number): boolean => -said * way > 1;

/** True where what looks like another lot are gains of guns whose inserts are likelier to have been changed without a word. */
function areInserts({ gaussian, guns }: PumpPool, { said, trace }: PumpPowder): boolean {
  const way = Math.sign(gaussian.traces[trace]!.score);
  const moved = Object.keys(said).filter((id) => movedWith(said[id]!, way));
  return moved.length > 0 && moved.every((id) => guns[id] !== undefined && isLikelierInsert(gaussian, guns[id]));
}

/** Guns that moved the way that the trace tells; 0 unless they are two at least, and most of those heard. */
function saySo(said: Readonly<Record<string, number>>, trace: StepTrace): number {
  const sums = Object.values(said);
  const way = Math.sign(trace.score);
  const agree = sums.filter((sum) => movedWith(sum, way)).length;
  return agree >= Math.max(2, 0.7 * sums.length) ? agree : 0;
}

/** Begins to look for a common step anew. */
function restartCommon(pool: PumpPool, now: number): void {
  restartShared(pool.gaussian, pool.common.starts, now);
}

const COMMON_VARIANCE = PRIORS.common.sd ** 2;

/** Something is known to have happened to the air of all guns of a line: what they share is open to a step, and what their charts say is from before. */
export function openCommon(pool: PumpPool, onset: number, now: number): void {
  const { common, gaussian } = pool;
  common.taken = now;
  common.onset = onset;
  common.before = gaussian.mean[pool.site]!;
  decayQuantity(gaussian, pool.site, 1, COMMON_VARIANCE);
  restartCommon(pool, now);
}
/** Guns that have to say so, and ln odds more where a line has no more than two: those of one booth share an operator too. Source: own choice. */
const COMMON_GUNS = 3;
const FEWER_SURETY = 4;

/** The start of a step of the whole line that speaks most; null where none leaves no doubt, or where it may as well be one powder's lot. */
function commonStart({ common, gaussian, guns }: PumpPool): SharedStart | null {
  let best: SharedStart | null = null;
  let most: number = PRIORS.common.surety;
  let unrest = 0;
  let few = false;
  for (const start of common.starts) {
    const trace = gaussian.traces[start.trace]!;
    if (start.since === 0 || !trace.active || mostEvidenceFor(trace, COMMON_VARIANCE) < most) continue;
    if (unrest === 0) {
      unrest = unrestOf(guns);
      few = Object.keys(guns).length < COMMON_GUNS;
      if (few) most += FEWER_SURETY;
    }
    const evidence = evidenceFor(trace, COMMON_VARIANCE) / unrest;
    if (evidence < most || movedAlike(start.powders, trace.score) < 2) continue;
    if (movedAlike(start.guns, trace.score) < (few ? 2 : COMMON_GUNS) || !othersMoved(start.guns, trace.score))
      continue;
    most = evidence;
    best = start;
  }
  return best;
}

/**
 * Takes in a step of all guns of a line (wet air, weather) once the innovations since some start leave no doubt and most guns, with more
 * than one powder, say so: with one powder it would be its lot.
 *
 * @param deviation innovation of this block over its deviation
 */
export function considerCommon(pool: PumpPool, gunId: string, powderId: string, deviation: number, now: number): void {
  // Where the powder is not read, what a gun loses is as likely another powder's.
  if (powderId === '') return;
  const { common, gaussian } = pool;
  noteShared(common.starts, gunId, powderId, deviation);
  const best = commonStart(pool);
  if (best !== null) {
    common.taken = now;
    common.onset = best.since;
    common.before = gaussian.mean[pool.site]!;
    takeStep(gaussian, gaussian.traces[best.trace]!, pool.site, COMMON_VARIANCE, -1);
    restartCommon(pool, now);
    return;
  }
  const { doubt, hours } = PRIORS.common;
  beginShared(gaussian, common.starts, now, COMMON_VARIANCE, doubt, hours * 3_600_000);
}
