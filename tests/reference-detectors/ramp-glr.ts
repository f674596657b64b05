import { z } from 'zod';
import { type Detector, DIRECTIONS, Verdict } from '../../analyzer/detect/detector.ts';
import { newReference, type Reference, referenceFields, standardise } from '../../analyzer/detect/reference.ts';
import { newWindow, push, recent, type Window } from './window.ts';

const Settings = z.strictObject({
  ...referenceFields,
  window: z.number().int().min(2).max(2000).default(400).meta({
    description: 'Longest ramp that is looked at',
    unit: 'samples',
  }),
  limit: z.number().positive().meta({ description: 'Standardised slope at which the alarm comes', unit: 'σ' }),
  warnShare: z.number().positive().max(1).default(1).meta({ description: 'Share of the limit at which it warns' }),
  direction: z.enum(DIRECTIONS).default('up').meta({ description: 'Which way the ramp has to go' }),
});
export type RampGlrSettings = z.output<typeof Settings>;

export interface RampGlrState extends Reference, Window {
  /** Largest standardised slope over the ages looked at, and the age at which it lies. */
  best: number;
  age: number;
  /** Slope of the ramp that this age implies, standard deviations per sample. */
  slope: number;
}

/**
 * Generalised likelihood ratio for a ramp of unknown slope that left the target at an unknown time within the window: the
 * largest over ages n of |Σ j·x| / sqrt(Σ j²), j = 1 … n counted from the ramp's start. It dates the ramp and gives its
 * slope. Samples in standard deviations, independent; costs one pass over the window.
 *
 * It is not the first choice for wear. Average samples to an alarm for a mean of delta·t, one-sided, 500 samples between
 * false alarms (CUSUM and EWMA by run-length theory, likelihood ratios with window 400 by simulation of 800 runs):
 *
 *   delta               0.0005  0.001  0.005   0.01   0.05    0.1
 *   CUSUM slack 0.1      207.9  154.7   71.2   50.2   22.3   15.7
 *   CUSUM slack 0.25     221.5  163.7   70.9   48.0   19.6   13.4
 *   CUSUM slack 0.5      245.9  183.6   78.4   51.7   19.1   12.5
 *   EWMA lambda 0.02     209.3  155.2   70.2   49.1   21.5   15.2
 *   EWMA lambda 0.05     219.8  162.4   70.5   47.8   19.6   13.5
 *   EWMA lambda 0.1      233.5  173.3   74.2   49.4   18.9   12.7
 *   rampGlr              232     177    79     53     19.8   12.8
 *   stepGlr              239     173    78     52     19.5   12.9
 *
 * For the slow ramps of wear a CUSUM of small slack and an EWMA of small lambda are best and alike; looking for every onset and
 * slope costs a tenth. tests/analyzer/detect/drift-comparison.test.ts holds the table to it.
 *
 * Source: the likelihood ratio of a line through the target at its onset; recursion by partial sums.
 * @example
 * rampGlr.step(rampGlr.schema.parse({ limit: 3 }), rampGlr.init(rampGlr.schema.parse({ limit: 3 })), 3.1); // 3
 */
export const rampGlr: Detector<RampGlrSettings, RampGlrState> = {
  kind: 'ramp-glr',
  stateVersion: 1,
  schema: Settings,

  init({ window }) {
    return { ...newReference(), ...newWindow(window), best: 0, age: 0, slope: 0 };
  },

  step(settings, state, x) {
    if (!Number.isFinite(x)) return Verdict.quiet;
    const shift = standardise(settings, state, x);
    if (Number.isNaN(shift)) return Verdict.warming;
    push(state, shift);
    const sign = settings.direction === 'down' ? -1 : 1;
    let sum = 0;
    let weighted = 0;
    state.best = 0;
    state.age = 0;
    state.slope = 0;
    for (let age = 1; age <= state.held; age++) {
      // Moving the onset back by one sample raises every weight j by one: the weighted sum grows by the plain sum.
      sum += recent(state, age - 1);
      weighted += sum;
      const squares = (age * (age + 1) * (2 * age + 1)) / 6;
      const slope = settings.direction === 'both' ? Math.abs(weighted) : sign * weighted;
      const standardised = slope / Math.sqrt(squares);
      if (standardised > state.best) {
        state.best = standardised;
        state.age = age;
        state.slope = weighted / squares;
      }
    }
    if (state.best > settings.limit) return Verdict.alarm;
    return state.best > settings.limit * settings.warnShare ? Verdict.warn : Verdict.quiet;
  },

  changeAge(_settings, state) {
    return state.age;
  },
};
