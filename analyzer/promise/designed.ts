import type { Tunables } from '../../collector/contract/index.ts';
import { PROMISE_SHARES } from '../detect/promise-shares.ts';
import { lineDeviations, rampDeviations } from '../detect/ramp-limits.ts';
import { INSERT_RAMP, LINE_RAMPS, rampRate } from '../detect/ramp-rate.ts';
import {
  START_WINDOW,
  STEP_CHARTS,
  STEP_SHARE,
  STEP_SLACK,
  startAlarmsPerYear,
  startLimit,
  stepAlarmsPerYear,
  stepLimit,
} from '../detect/step-limits.ts';
import { wearDueAt } from '../diagnose/wear-due.ts';
import type { DesignedPromise, PromisedSignal } from './promise.ts';

const CHART_WORDS = {
  output: 'steps of output for the same air',
  starts: 'the same, whenever it may have begun',
  ripple: 'steps of ripple',
  both: 'steps of output and ripple together',
} as const;

const LINE_WORDS = {
  conveying: 'conveying filter, slow',
  supplementary: 'supplementary filter, slow',
  fluidizing: 'fluidizing ring, slow',
  inlet: 'inlet filter, slow',
} as const;

/**
 * False alarms per gun and year by run-length theory, signal by signal and for the gun as a whole, with the limits that the settings
 * give. For steps the null is no step; for ramps it is parts that wear up to the smallest change worth a visit and are changed there.
 * A step chart's alarm is not a finding yet: further proof makes it rarer.
 *
 * @param settings of the gun; overrides already applied
 */
export function designedPromise(settings: Tunables): DesignedPromise {
  const signals = [...steps(settings), insert(settings), ...lines(settings)];
  return { signals, perGunYear: signals.reduce((sum, { perGunYear }) => sum + perGunYear, 0) };
}

function steps({ falseAlarmsPerGunYear }: Tunables): PromisedSignal[] {
  const limit = stepLimit(falseAlarmsPerGunYear);
  const start = startLimit(falseAlarmsPerGunYear, START_WINDOW);
  const sum = `CUSUM, slack ${STEP_SLACK}, limit ${limit.toFixed(1)} deviations of a block`;
  return STEP_CHARTS.map((chart) => ({
    signal: CHART_WORDS[chart],
    detector: chart === 'starts' ? `likelihood ratio over starts, limit ${start.toFixed(1)} deviations` : sum,
    kind: 'step',
    share: STEP_SHARE,
    perGunYear: chart === 'starts' ? startAlarmsPerYear(start) : stepAlarmsPerYear(limit),
    corrections: [
      'neighbouring blocks that resemble each other',
      'operators, lots, weather and the baseline not known exactly: each block counts in deviations of what was expected, all of that included',
    ],
  }));
}

function insert(settings: Tunables): PromisedSignal {
  const { falseAlarmsPerGunYear, smallestChange, changeLimitExcessAir } = settings;
  const small = Math.log1p(smallestChange);
  const { sd } = INSERT_RAMP;
  const due = wearDueAt(changeLimitExcessAir, sd, settings);
  const byPromise = Math.log1p(due.byChange) - small;
  const byLimit = Math.log1p(due.byLimit) - small;
  return {
    signal: 'pump insert, slow',
    detector:
      byLimit > byPromise
        ? `filtered excess air; half the change limit decides, ${percent(Math.expm1(small + byLimit))} excess air on a usual gun`
        : `filtered excess air, ${rampDeviations(falseAlarmsPerGunYear, smallestChange).toFixed(1)} deviations beyond the smallest change, ${percent(Math.expm1(small + byPromise))} excess air on a usual gun`,
    kind: 'ramp',
    share: PROMISE_SHARES.insert,
    perGunYear: rampRate({ ...INSERT_RAMP, small }, Math.max(byPromise, byLimit)),
    corrections: RAMP_CORRECTIONS,
  };
}

function lines({ falseAlarmsPerGunYear }: Tunables): PromisedSignal[] {
  const deviations = lineDeviations(falseAlarmsPerGunYear);
  const names = Object.keys(LINE_RAMPS) as (keyof typeof LINE_RAMPS)[];
  const rates = names.map((name) => rampRate(LINE_RAMPS[name], deviations * LINE_RAMPS[name].sd));
  const all = rates.reduce((sum, rate) => sum + rate, 0);
  return names.map((name, index) => ({
    signal: LINE_WORDS[name],
    detector: `filtered conductance, ${deviations.toFixed(1)} deviations beyond the smallest change, for 1.5 spray hours`,
    kind: 'ramp',
    share: all > 0 ? (PROMISE_SHARES.lines * rates[index]!) / all : PROMISE_SHARES.lines / names.length,
    perGunYear: rates[index]!,
    corrections: RAMP_CORRECTIONS,
  }));
}

const RAMP_CORRECTIONS = [
  'operators, lots and weather that come and go over days',
  'a new part’s need that was estimated',
  'looking all the time, not once',
];

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
