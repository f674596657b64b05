import { restartTrace, type StepTrace, takeStep } from './gaussian-state.ts';
import type { PumpPool, PumpPowder } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';

/** ln of the odds that a step of some prior variance explains the innovations better than none (a Bayes factor). */
function evidenceFor({ information, score }: StepTrace, variance: number): number {
  const gain = 1 + information * variance;
  return 0.5 * ((score * score * variance) / gain - Math.log(gain));
}

/**
 * Takes a new lot in once it is beyond doubt that this campaign brought one, and gives the suspicion up once that is
 * beyond doubt. Lots change rarely and at once: a lot that may drift every day would swallow the wear that guns share.
 */
export function considerLot(pool: PumpPool, powder: PumpPowder, now: number): void {
  const { gaussian } = pool;
  const trace = gaussian.traces[powder.trace]!;
  if (!trace.active) return;
  const variance = 2 * PRIORS.lot ** 2;
  const odds = (PRIORS.lotChange / (1 - PRIORS.lotChange)) * Math.exp(Math.min(evidenceFor(trace, variance), 50));
  const chance = odds / (1 + odds);
  if (chance > PRIORS.lotSurety) {
    powder.lotSince = now;
    powder.lotBefore = gaussian.mean[powder.lot]!;
    takeStep(gaussian, trace, powder.lot, variance, -1);
  } else if (chance < PRIORS.lotDoubt) restartTrace(trace, false);
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
  const sums = Object.values(common.guns);
  const way = Math.sign(trace.score);
  const agree = sums.filter((sum) => -sum * way > 1).length;
  if (sums.length < 2 || agree < Math.max(2, 0.7 * sums.length) || Object.keys(common.powders).length < 2) return;
  common.taken = now;
  common.before = gaussian.mean[pool.site]!;
  takeStep(gaussian, trace, pool.site, variance, -1);
  restartCommon(pool, now);
}
