import { z } from 'zod';
import { type Detector, DIRECTIONS, Verdict } from './detector.ts';
import { newReference, type Reference, referenceFields, standardise } from './reference.ts';

const Settings = z.strictObject({
  ...referenceFields,
  slack: z.number().min(0).default(0.5).meta({ description: 'Shift that is forgiven at each sample', unit: 'σ' }),
  limit: z.number().positive().meta({ description: 'Sum of shifts at which the alarm comes', unit: 'σ' }),
  headStart: z
    .number()
    .min(0)
    .default(0)
    .meta({ description: 'Sum to start with; half the limit starts fast', unit: 'σ' }),
  warnShare: z.number().positive().max(1).default(1).meta({ description: 'Share of the limit at which it warns' }),
  direction: z.enum(DIRECTIONS).default('up').meta({ description: 'Which way a change has to go' }),
});
export type CusumSettings = z.output<typeof Settings>;

export interface CusumState extends Reference {
  up: number;
  down: number;
  /** Samples since each sum left zero. */
  upAge: number;
  downAge: number;
}

/**
 * Tabular CUSUM, upper, lower or both: sums what exceeds the slack, never below zero, and alarms strictly above the limit.
 * Its best case is a step of twice the slack; its sum's last zero dates the change.
 *
 * Source: E. S. Page, Biometrika 41, 1954; NIST/SEMATECH e-Handbook 6.3.2.3; checked in tests/published/cusum.test.ts.
 * @example
 * cusum.step(cusum.schema.parse({ limit: 4 }), { ...cusum.init(cusum.schema.parse({ limit: 4 })), up: 3 }, 1.6); // 3
 */
export const cusum: Detector<CusumSettings, CusumState> = {
  kind: 'cusum',
  stateVersion: 1,
  schema: Settings,

  init({ headStart }) {
    // One literal: a state that is put together of two is slower at every step.
    const { learned, mean, squares } = newReference();
    return { learned, mean, squares, up: headStart, down: headStart, upAge: 0, downAge: 0 };
  },

  step(settings, state, x) {
    if (!Number.isFinite(x)) return Verdict.quiet;
    const shift = standardise(settings, state, x);
    if (Number.isNaN(shift)) return Verdict.warming;
    let highest = 0;
    if (settings.direction !== 'down') {
      state.up = Math.max(0, state.up + shift - settings.slack);
      state.upAge = state.up > 0 ? state.upAge + 1 : 0;
      highest = state.up;
    }
    if (settings.direction !== 'up') {
      state.down = Math.max(0, state.down - shift - settings.slack);
      state.downAge = state.down > 0 ? state.downAge + 1 : 0;
      highest = Math.max(highest, state.down);
    }
    if (highest > settings.limit) return Verdict.alarm;
    return highest > settings.limit * settings.warnShare ? Verdict.warn : Verdict.quiet;
  },

  changeAge(_settings, state) {
    return state.up >= state.down ? state.upAge : state.downAge;
  },
};
