import { z } from 'zod';
import { type Detector, DIRECTIONS, Verdict } from '../../analyzer/detect/detector.ts';
import { newReference, type Reference, referenceFields, standardise } from '../../analyzer/detect/reference.ts';
import { ewmaHalfWidth } from '../../analyzer/detect/run-length/ewma-half-width.ts';

const Settings = z.strictObject({
  ...referenceFields,
  lambda: z.number().positive().max(1).default(0.1).meta({ description: 'Weight of the newest sample' }),
  limit: z.number().positive().meta({ description: 'Limit in standard deviations of the settled average', unit: 'σ' }),
  limits: z.enum(['fixed', 'varying']).default('fixed').meta({
    description: 'Fixed limits, or narrower ones while the average settles',
  }),
  warnShare: z.number().positive().max(1).default(1).meta({ description: 'Share of the limit at which it warns' }),
  direction: z.enum(DIRECTIONS).default('both').meta({ description: 'Which way a change has to go' }),
});
export type EwmaSettings = z.output<typeof Settings>;

export interface EwmaState extends Reference {
  /** Samples taken in after the warm-up. */
  count: number;
  /** The average, standard deviations of one sample from the target. */
  average: number;
  /** Samples since the average was last on the target's other side. */
  age: number;
}

/**
 * Exponentially weighted moving average against fixed or settling limits. In one direction only, it is held at the target
 * on the other side. A small lambda is the cheap detector for slow ramps (see rampGlr for the comparison).
 *
 * Source: S. W. Roberts, Technometrics 1, 1959; NIST/SEMATECH e-Handbook 6.3.2.4; checked in tests/published/ewma.test.ts.
 * @example
 * ewma.init(ewma.schema.parse({ limit: 3 })).average; // 0
 */
export const ewma: Detector<EwmaSettings, EwmaState> = {
  kind: 'ewma',
  stateVersion: 1,
  schema: Settings,

  init() {
    return { ...newReference(), count: 0, average: 0, age: 0 };
  },

  step(settings, state, x) {
    if (!Number.isFinite(x)) return Verdict.quiet;
    const shift = standardise(settings, state, x);
    if (Number.isNaN(shift)) return Verdict.warming;
    const before = state.average;
    state.count += 1;
    state.average = settings.lambda * shift + (1 - settings.lambda) * before;
    if (settings.direction === 'up') state.average = Math.max(0, state.average);
    else if (settings.direction === 'down') state.average = Math.min(0, state.average);
    state.age = state.average !== 0 && state.average > 0 === before > 0 ? state.age + 1 : state.average === 0 ? 0 : 1;
    const share = Math.abs(state.average) / ewmaHalfWidth(settings, state.count);
    if (share > 1) return Verdict.alarm;
    return share > settings.warnShare ? Verdict.warn : Verdict.quiet;
  },

  changeAge(_settings, state) {
    return state.age;
  },
};
