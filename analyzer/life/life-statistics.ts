import { counted } from '../../collector/contract/index.ts';
import { kaplanMeier } from '../stats/kaplan-meier.ts';
import type { Limits } from '../stats/line-fit.ts';
import {
  type Life,
  type WeibullFit,
  weibullFit,
  weibullMean,
  weibullQuantile,
  weibullScale,
  weibullShape,
} from '../stats/weibull.ts';

/** Whether enough is known to go by it. */
export type Enough = 'enough' | 'thin' | 'too thin';

/** Share that has ended by a time, with 95 % limits. */
export interface EndedShare {
  readonly time: number;
  readonly share: number;
  readonly low: number;
  readonly high: number;
}

/** The fitted curve at one share: when it is reached, with limits. */
export interface CurvePoint extends Limits {
  readonly share: number;
}

/** What lives of one kind of part tell. Times are in the unit of the lives. */
export interface LifeStatistics {
  readonly lives: number;
  readonly ended: number;
  readonly enough: Enough;
  /** In a sentence: what is missing, or how far to trust it. */
  readonly says: string;
  readonly shape: Limits | null;
  readonly scale: Limits | null;
  readonly mean: number | null;
  readonly b10: Limits | null;
  readonly median: Limits | null;
  /** As observed (Kaplan–Meier, Greenwood on the log-log scale). */
  readonly observed: readonly EndedShare[];
  /** As fitted, for shares from 1 to 99 %. */
  readonly curve: readonly CurvePoint[];
  readonly fit: WeibullFit | null;
}

/**
 * Ended lives below which no curve is drawn: two numbers are estimated, and with two ends they fit by themselves.
 * Source: own choice, one more than the numbers estimated.
 */
export const FEWEST_ENDS = 3;
/**
 * Ended lives from which the curve may be gone by. The shape's relative error is about 0.78/√ends (square root of the asymptotic
 * variance 6/π²: 25 % at ten ends, 45 % at three). Source: L. J. Bain & M. Engelhardt, Statistical Analysis of Reliability and
 * Life-Testing Models, 1991, section 4.2 (from memory), for complete samples; ten is own choice, because the 95 % limits of the
 * shape are then within a factor of 1.6.
 */
export const ENOUGH_ENDS = 10;

const CURVE_SHARES = [
  0.01, 0.02, 0.03, 0.05, 0.07, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 0.97, 0.99,
];

/**
 * Weibull distribution of lives by maximum likelihood with right censoring, B10 (the time by which a tenth has ended), and 95 % limits.
 *
 * The limits come from the Fisher information, normal on the log scale; with few ends they are too narrow, which `enough` says.
 *
 * @param lives times > 0 of one unit; `failed` where the part was found worn or failed
 * @throws {RangeError} if a time is not above 0
 * Source: W. Q. Meeker & L. A. Escobar, Statistical Methods for Reliability Data, 1998, chapters 3 and 8.
 * @example
 * lifeStatistics([{ time: 10, failed: true }, { time: 20, failed: true }, { time: 30, failed: false }]).enough; // 'too thin'
 */
export function lifeStatistics(lives: readonly Life[]): LifeStatistics {
  const ended = lives.filter(({ failed }) => failed);
  const observed =
    ended.length === 0
      ? []
      : kaplanMeier(lives).map(({ time, survival, logLog }) => ({
          time,
          share: 1 - survival,
          low: Number.isFinite(logLog.high) ? 1 - logLog.high : 0,
          high: Number.isFinite(logLog.low) ? 1 - logLog.low : 1,
        }));
  const nothing = { shape: null, scale: null, mean: null, b10: null, median: null, curve: [], fit: null };
  const counted = { lives: lives.length, ended: ended.length, observed };
  const distinct = new Set(ended.map(({ time }) => time)).size;
  if (ended.length < FEWEST_ENDS || distinct < 2)
    return {
      ...counted,
      ...nothing,
      enough: 'too thin',
      says:
        `${endsIn(ended.length)} of ${lives.length}: too few for a curve. ` +
        `It needs ${FEWEST_ENDS} of different age, and ${ENOUGH_ENDS} to be gone by.`,
    };
  const fit = weibullFit(lives);
  return {
    ...counted,
    shape: weibullShape(fit),
    scale: weibullScale(fit),
    mean: weibullMean(fit),
    b10: weibullQuantile(fit, 0.1),
    median: weibullQuantile(fit, 0.5),
    curve: CURVE_SHARES.map((share) => ({ share, ...weibullQuantile(fit, share) })),
    fit,
    ...(ended.length < ENOUGH_ENDS
      ? {
          enough: 'thin',
          says:
            `${endsIn(ended.length)} of ${lives.length}: thin. The shape is known to about ` +
            `±${Math.round((100 * 0.78) / Math.sqrt(ended.length))} % (one standard error); ${ENOUGH_ENDS} ends are wanted before intervals are moved by it.`,
        }
      : { enough: 'enough', says: `${endsIn(ended.length)} of ${lives.length}.` }),
  };
}

const endsIn = (count: number): string => `${counted(count, 'life', 'lives')} ended worn or failed`;
