import { z } from 'zod';
import { type Detector, Verdict } from '../../analyzer/detect/detector.ts';

const Settings = z.strictObject({
  delta: z.number().min(0).default(0.005).meta({ description: 'Deviation from the running mean that is forgiven' }),
  threshold: z.number().positive().default(50).meta({ description: 'Rise above the lowest sum at which it alarms' }),
  fewest: z.number().int().min(0).default(30).meta({ description: 'Samples before any alarm', unit: 'samples' }),
  warnShare: z.number().positive().max(1).default(1).meta({ description: 'Share of the threshold at which it warns' }),
  direction: z.enum(['up', 'down']).default('up').meta({ description: 'Which way a change has to go' }),
});
export type PageHinkleySettings = z.output<typeof Settings>;

export interface PageHinkleyState {
  count: number;
  mean: number;
  /** Sum of deviations from the running mean less delta, and its lowest value so far (at most 0). */
  sum: number;
  lowest: number;
  /** Samples since the lowest value. */
  age: number;
}

/**
 * Page–Hinkley test: no reference is needed, because deviations are from the running mean, which includes the
 * current sample. The price: the mean follows a slow ramp, so ramps are found late. Samples are in their own unit.
 *
 * Source: E. S. Page, Biometrika 41, 1954; D. V. Hinkley, Biometrika 58, 1971; J. Gama et al., ACM Computing Surveys
 * 46(4), 2014; defaults as common streaming libraries have them; checked in tests/published/page-hinkley.test.ts.
 * @example
 * pageHinkley.step(pageHinkley.schema.parse({ fewest: 0, threshold: 1 }), { count: 9, mean: 0, sum: 0, lowest: 0, age: 9 }, 5); // 3
 */
export const pageHinkley: Detector<PageHinkleySettings, PageHinkleyState> = {
  kind: 'page-hinkley',
  stateVersion: 1,
  schema: Settings,

  init() {
    return { count: 0, mean: 0, sum: 0, lowest: 0, age: 0 };
  },

  step(settings, state, x) {
    if (!Number.isFinite(x)) return Verdict.quiet;
    state.count += 1;
    state.mean += (x - state.mean) / state.count;
    const deviation = settings.direction === 'up' ? x - state.mean : state.mean - x;
    state.sum += deviation - settings.delta;
    if (state.sum <= state.lowest) {
      state.lowest = state.sum;
      state.age = 0;
    } else state.age += 1;
    if (state.count < settings.fewest) return Verdict.warming;
    const rise = state.sum - state.lowest;
    if (rise > settings.threshold) return Verdict.alarm;
    return rise > settings.threshold * settings.warnShare ? Verdict.warn : Verdict.quiet;
  },

  changeAge(_settings, state) {
    return state.age;
  },
};
