import { restartTrace, type StepTrace, takeStep } from './gaussian-state.ts';
import type { PumpPool, PumpPowder } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';
import { evidenceFor } from './step-evidence.ts';

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
}

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
  const evidence = evidenceFor(trace, 2 * PRIORS.lot ** 2);
  const chance = powder.campaign ? PRIORS.lotChange : PRIORS.lotMidway;
  const odds = evidence + Math.log(chance / (1 - chance));
  const sure = odds > PRIORS.lotSurety && (powder.campaign || evidence > PRIORS.midwaySurety);
  const several = mostSay(powder.said, trace);
  if (sure && (powder.campaign || several)) takeLot(pool, powder, now, several);
  else if (
    evidence < PRIORS.lotDoubt ||
    now - powder.traceSince > (powder.campaign ? PRIORS.common.hours : PRIORS.midwayHours) * 3_600_000
  )
    followLot(pool, powder, now, false);
}

/**
 * Takes a new lot of this powder in, of the size that the innovations since its trace began say.
 *
 * @param several true when more than one gun says so: what one gun alone says may be its own, and is not told
 */
export function takeLot(pool: PumpPool, powder: PumpPowder, now: number, several: boolean): void {
  const { gaussian } = pool;
  powder.lotSince = several ? now : 0;
  powder.lotBefore = gaussian.mean[powder.lot]!;
  takeStep(gaussian, gaussian.traces[powder.trace]!, powder.lot, 2 * PRIORS.lot ** 2, -1);
  followLot(pool, powder, now, false);
  restartCommon(pool, now);
}

/** True when two guns at least, and most of those heard, moved the way that the trace tells. */
function mostSay(said: Readonly<Record<string, number>>, trace: StepTrace): boolean {
  const sums = Object.values(said);
  const way = Math.sign(trace.score);
  const agree = sums.filter((sum) => -sum * way > 1).length;
  return sums.length >= 2 && agree >= Math.max(2, 0.7 * sums.length);
}

/** Begins to look for a common step anew. */
function restartCommon(pool: PumpPool, now: number): void {
  const { common } = pool;
  restartTrace(pool.gaussian.traces[common.trace]!, true);
  common.guns = {};
  common.powders = {};
  common.since = now;
}

/**
 * Takes in a step of all guns of a line (wet air, weather) once the innovations leave no doubt and most guns, with more than one
 * powder, say so: with one powder it would be its lot.
 *
 * @param deviation innovation of this block over its deviation
 */
export function considerCommon(pool: PumpPool, gunId: string, powderId: string, deviation: number, now: number): void {
  const { common, gaussian } = pool;
  const trace = gaussian.traces[common.trace]!;
  common.guns[gunId] = (common.guns[gunId] ?? 0) + Math.max(-3, Math.min(3, deviation));
  common.powders[powderId] = 1;
  const variance = PRIORS.common.sd ** 2;
  const evidence = evidenceFor(trace, variance);
  if (evidence < PRIORS.common.doubt || now - common.since > PRIORS.common.hours * 3_600_000) {
    restartCommon(pool, now);
    return;
  }
  if (evidence < PRIORS.common.surety) return;
  if (!mostSay(common.guns, trace) || Object.keys(common.powders).length < 2) return;
  common.taken = now;
  common.before = gaussian.mean[pool.site]!;
  takeStep(gaussian, trace, pool.site, variance, -1);
  restartCommon(pool, now);
}
