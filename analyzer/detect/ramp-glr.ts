import { z } from 'zod';
import { type Detector, DIRECTIONS, Verdict } from './detector.ts';
import { newReference, type Reference, referenceFields, standardise } from './reference.ts';
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
