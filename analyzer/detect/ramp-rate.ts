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
  /** Deviation that the settled belief about the part states of itself. */
  readonly sd: number;
  /** How it errs around the truth: what stays for a life, as the baseline was estimated wrong by it, deviation. */
  readonly staying: number;
  /** And what comes and goes with operators, weather and lots: deviation and time constant in hours of the calendar. */
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
  staying: 0.0171,
  nuisance: { sd: 0.0168, hours: 180 },
};

/** Smallest change of each line that is worth a visit, as share of its conductance; the inlet's sag in bar. Source: own choice, above what gauges and weather do. */
export const LINE_SMALL = { conveying: 0.034, supplementary: 0.058, fluidizing: 0.08, inlet: 0.104 };

/** Spray hours for which a line has to stay beyond doubt: a setting that it has not seen yet settles meanwhile. Source: own choice. */
export const LASTING_HOURS = 1.5;

/**
 * Source: lives from handbook section 2; errors of the beliefs from 40 simulated years of each line (120 of the inlet) under its own model of nuisance
 * (SIGNALS, and the conveying line's): correlated by 0.66, 0.68, 0.61 and 0.69 after a day.
 */
export const LINE_RAMPS: Readonly<Record<keyof typeof LINE_SMALL, RampNull>> = {
  conveying: line(1.5, LINE_SMALL.conveying, 0.0093, 0.0058, { sd: 0.006, hours: 58 }),
  supplementary: line(1.5, LINE_SMALL.supplementary, 0.0175, 0.0104, { sd: 0.0106, hours: 62 }),
  fluidizing: line(2, LINE_SMALL.fluidizing, 0.0277, 0.0158, { sd: 0.0163, hours: 50 }),
  inlet: line(1, LINE_SMALL.inlet, 0.0338, 0.02, { sd: 0.0185, hours: 65 }),
};

function line(
  livesPerYear: number,
  small: number,
  sd: number,
  staying: number,
  nuisance: RampNull['nuisance'],
): RampNull {
  return { lookHours: LASTING_HOURS, livesPerYear, small, sd, staying, nuisance };
}

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
 * rampRate(INSERT_RAMP, 2.5 * INSERT_RAMP.sd); // 0.146
 */
export function rampRate({ lookHours, livesPerYear, small, staying, nuisance }: RampNull, bound: number): number {
  const looks = Math.max(1, Math.round(SPRAY_HOURS_A_YEAR / livesPerYear / lookHours));
  const correlation = Math.exp((-lookHours * HOURS_A_YEAR) / SPRAY_HOURS_A_YEAR / nuisance.hours);
  const rule = gaussHermite(STAYING_POINTS);
  let chance = 0;
  for (let i = 0; i < rule.points.length; i++) {
    const away = (look: number): number =>
      (bound + small * (1 - look / looks) - rule.points[i]! * staying) / nuisance.sd;
    chance += rule.weights[i]! * passageChance(correlation, away, looks);
  }
  return livesPerYear * chance;
}
