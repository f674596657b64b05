import { z } from 'zod';
import { type Detector, DIRECTIONS, Verdict } from '../../analyzer/detect/detector.ts';
import { newReference, type Reference, referenceFields, standardise } from '../../analyzer/detect/reference.ts';
import { newWindow, push, recent, type Window } from './window.ts';

const Settings = z.strictObject({
  ...referenceFields,
  window: z.number().int().min(2).max(2000).default(100).meta({
    description: 'Longest time since the step that is looked at',
    unit: 'samples',
  }),
  limit: z.number().positive().meta({
    description: 'Standardised mean since the step at which the alarm comes',
    unit: 'σ',
  }),
  warnShare: z.number().positive().max(1).default(1).meta({ description: 'Share of the limit at which it warns' }),
  direction: z.enum(DIRECTIONS).default('up').meta({ description: 'Which way a step has to go' }),
});
export type StepGlrSettings = z.output<typeof Settings>;

export interface StepGlrState extends Reference, Window {
  /** Largest standardised mean over the ages looked at, and the age at which it lies. */
  best: number;
  age: number;
  /** Size of the step that this age implies, standard deviations of one sample. */
  size: number;
}

/**
 * Generalised likelihood ratio for a step of unknown size at an unknown time within the window: the largest over ages n of
 * |sum of the last n samples| / sqrt(n). Near the best for steps of every size, where a CUSUM is tuned to one; it
 * dates the step (`age`) and sizes it. Samples in standard deviations, independent; costs one pass over the window.
 *
 * Source: D. Siegmund & E. S. Venkatraman, Ann. Statist. 23, 1995; limits from stepGlrRunLength.
 * @example
 * stepGlr.step(stepGlr.schema.parse({ limit: 3 }), stepGlr.init(stepGlr.schema.parse({ limit: 3 })), 3.1); // 3
 */
export const stepGlr: Detector<StepGlrSettings, StepGlrState> = {
  kind: 'step-glr',
  stateVersion: 1,
  schema: Settings,

  init({ window }) {
    return { ...newReference(), ...newWindow(window), best: 0, age: 0, size: 0 };
  },

  step(settings, state, x) {
    if (!Number.isFinite(x)) return Verdict.quiet;
    const shift = standardise(settings, state, x);
    if (Number.isNaN(shift)) return Verdict.warming;
    push(state, shift);
    const sign = settings.direction === 'down' ? -1 : 1;
    let sum = 0;
    state.best = 0;
    state.age = 0;
    state.size = 0;
    for (let age = 1; age <= state.held; age++) {
      sum += recent(state, age - 1);
      const mean = settings.direction === 'both' ? Math.abs(sum) : sign * sum;
      const standardised = mean / Math.sqrt(age);
      if (standardised > state.best) {
        state.best = standardised;
        state.age = age;
        state.size = sum / age;
      }
    }
    if (state.best > settings.limit) return Verdict.alarm;
    return state.best > settings.limit * settings.warnShare ? Verdict.warn : Verdict.quiet;
  },

  changeAge(_settings, state) {
    return state.age;
  },
};
