import { gaussHermite } from '../stats/gauss-hermite.ts';
import { SPRAY_HOURS_A_YEAR } from './promise-shares.ts';
import { passageChance } from './run-length/passage-chance.ts';

/** A part that wears slowly and never further than what is worth a visit: the null of a ramp. All in the signal's unit (mostly ln). */
export interface RampNull {
  /** Spray hours between two looks that count as looks of their own. */
  readonly lookHours: number;
  /** Parts that a gun wears out in a year. */
  readonly livesPerYear: number;
  /** Smallest change that is worth a visit, reached at the end of each life. */
  readonly small: number;
  /** How far the belief about the part errs in all, deviation. */
  readonly sd: number;
  /** How much of that comes and goes with operators, weather and lots: deviation and time constant in hours of the calendar. The rest stays for a life: what the baseline was estimated wrong by. */
  readonly nuisance: { readonly sd: number; readonly hours: number };
}

/**
 * Source: lives from handbook section 2, an insert each 60 spray hours. Errors as seen on simulated healthy halls, 31.9 gun-years: the
 * belief errs by 0.024 (root mean square that it states), its error is correlated by 0.85, 0.66, 0.39 and 0.16 after 1, 3, 7 and 14 days.
 */
export const INSERT_RAMP: RampNull = {
  lookHours: 1,
  livesPerYear: SPRAY_HOURS_A_YEAR / 60,
  small: Math.log(1.05),
  sd: 0.024,
  nuisance: { sd: 0.0168, hours: 180 },
};

/** Smallest change of each line that is worth a visit, as share of its conductance; the inlet's sag in bar. Source: own choice, above what gauges and weather do. */
export const LINE_SMALL = { conveying: 0.034, supplementary: 0.058, fluidizing: 0.08, inlet: 0.104 };

/** Spray hours for which a line has to stay beyond doubt: a setting that it has not seen yet settles meanwhile. Source: own choice. */
export const LASTING_HOURS = 1.5;

/** Source: lives from handbook section 2; deviations of the settled beliefs under their own models of nuisance (SIGNALS, and the conveying line's). */
export const LINE_RAMPS: Readonly<Record<keyof typeof LINE_SMALL, RampNull>> = {
  conveying: {
    lookHours: LASTING_HOURS,
    livesPerYear: 1.5,
    small: LINE_SMALL.conveying,
    sd: 0.0075,
    nuisance: { sd: 0.0055, hours: 100 },
  },
  supplementary: {
    lookHours: LASTING_HOURS,
    livesPerYear: 1.5,
    small: LINE_SMALL.supplementary,
    sd: 0.0145,
    nuisance: { sd: 0.0101, hours: 60 },
  },
  fluidizing: {
    lookHours: LASTING_HOURS,
    livesPerYear: 2,
    small: LINE_SMALL.fluidizing,
    sd: 0.023,
    nuisance: { sd: 0.016, hours: 40 },
  },
  inlet: {
    lookHours: LASTING_HOURS,
    livesPerYear: 1,
    small: LINE_SMALL.inlet,
    sd: 0.0185,
    nuisance: { sd: 0.0159, hours: 24 },
  },
};

const HOURS_A_YEAR = 8766;
/** Points over the part of the error that stays. Source: own choice, because 15 change no rate by 2 %. */
const STAYING_POINTS = 7;

/**
 * False alarms per gun and year of a rule that alarms when the belief is further beyond the smallest change than a bound, while every
 * part wears evenly up to the smallest change and is changed there. The error of the belief is a settled autoregression (slow nuisance,
 * autocorrelation) on a part that stays for the life (estimated baseline).
 *
 * @param bound beyond the smallest change, in the signal's unit
 * @returns expected alarms per gun and year, at most one a life
 * Source: passageChance (Markov chain) averaged over the error that stays as in L. A. Jones, C. W. Champ & S. E. Rigdon,
 * Technometrics 43, 2001; checked by simulation in tests/analyzer/detect/ramp-rate.test.ts.
 * @example
 * rampRate(INSERT_RAMP, 2.5 * INSERT_RAMP.sd); // 0.147
 */
export function rampRate({ lookHours, livesPerYear, small, sd, nuisance }: RampNull, bound: number): number {
  const looks = Math.max(1, Math.round(SPRAY_HOURS_A_YEAR / livesPerYear / lookHours));
  const correlation = Math.exp((-lookHours * HOURS_A_YEAR) / SPRAY_HOURS_A_YEAR / nuisance.hours);
  const staying = Math.sqrt(Math.max(0, sd * sd - nuisance.sd * nuisance.sd));
  const rule = gaussHermite(STAYING_POINTS);
  let chance = 0;
  for (let i = 0; i < rule.points.length; i++) {
    const away = (look: number): number =>
      (bound + small * (1 - look / looks) - rule.points[i]! * staying) / nuisance.sd;
    chance += rule.weights[i]! * passageChance(correlation, away, looks);
  }
  return livesPerYear * chance;
}
