import { normalCdf } from '../stats/normal.ts';
import { SHARES } from './hall-ages.ts';

/** What is believed of the share of its limit that an insert has used. */
export interface UsedShare {
  /** Chances of SHARES at first sight. */
  readonly chances: readonly number[];
  /** Share by which it has worn since, and its deviation. */
  readonly worn: number;
  readonly sd: number;
}

/**
 * Shares of the loss at the limit between which an insert is told in time: before, it would be changed for nothing, after, it has cost powder and air.
 * Source: own choice about the contract's half, a good third and just before the limit.
 */
const TOO_EARLY = 0.35;
const TOO_LATE = 0.9;
/** How far ahead it is looked, share of the limit, and in which steps. Source: own choice: beyond, all are late. */
const AHEAD = 0.6;
const STEP = 0.05;
/** Chances that differ by less are alike. Source: own choice. */
const ALIKE = 1e-3;
/** Least deviation of a share here, so that steps of the grid do not show. Source: own choice, a step. */
const LEAST_SD = 0.05;

/**
 * Whether an insert of unknown age is to be told now: whether the chance to be wrong, too early or too late, is no greater now than at any time
 * later. To wait makes it less likely to be early and likelier to be late, and little is learnt of the age on the way.
 *
 * @param atLimit ln of output that is lost at the limit
 * Source: J. O. Berger, Statistical Decision Theory and Bayesian Analysis, 2nd ed. (1985), chapter 7, a stopping time chosen ahead; both errors cost alike: own choice.
 * @example
 * isTimeToTell({ chances: [1], worn: 0.6, sd: 0.05 }, 0.26); // true
 */
export function isTimeToTell({ chances, worn, sd }: UsedShare, atLimit: number): boolean {
  const early = lossShare(TOO_EARLY, atLimit);
  const late = lossShare(TOO_LATE, atLimit);
  const open = Math.max(sd, LEAST_SD);
  const wrongAfter = (more: number): number =>
    chances.reduce((sum, chance, i) => {
      if (chance < 1e-6) return sum;
      const share = SHARES[i]! + worn + more;
      return sum + chance * (normalCdf((early - share) / open) + normalCdf((share - late) / open));
    }, 0);
  const now = wrongAfter(0) - ALIKE;
  for (let more = STEP; more < AHEAD; more += STEP) if (wrongAfter(more) < now) return false;
  return true;
}

/**
 * Chance that an insert of unknown age has worn so far that to change it now is not too early.
 *
 * @param atLimit ln of output that is lost at the limit
 * @example
 * chanceWorn({ chances: [1], worn: 0.6, sd: 0.05 }, 0.26).toFixed(2); // '1.00'
 */
export function chanceWorn({ chances, worn, sd }: UsedShare, atLimit: number): number {
  const early = lossShare(TOO_EARLY, atLimit);
  const open = Math.max(sd, LEAST_SD);
  return chances.reduce((sum, chance, i) => sum + chance * normalCdf((SHARES[i]! + worn - early) / open), 0);
}

/** Share of ln output at the limit that is lost where a share of the loss at the limit is. */
function lossShare(share: number, atLimit: number): number {
  return -Math.log1p(share * Math.expm1(-atLimit)) / atLimit;
}
