import { isPartId } from '../../collector/contract/index.ts';
import { type Estimate, rateInterval, shareInterval } from '../stats/count-interval.ts';
import { jackknife } from '../stats/jackknife.ts';
import { medianInterval } from '../stats/median-interval.ts';
import { calibrationGap } from './calibration.ts';
import type { CaseScore, FaultOutcome, LifeOutcome } from './case-score.ts';
import { EARLIEST_SHARE } from './match-findings.ts';
import { LATEST_SHARE } from './misses.ts';

/** One figure with its interval and what it should reach. */
export interface Measure {
  readonly name: string;
  /** Null where there is nothing to measure it on. */
  readonly estimate: Estimate | null;
  readonly unit: 'share' | 'per 1000 spray hours' | 'per gun-year' | 'spray hours' | 'share of life';
  /** What it was measured on, in words. */
  readonly basis: string;
  /** Lowest and highest value wanted; null where nothing is asked. */
  readonly reach: readonly [low: number, high: number] | null;
}

/** Sizes of seal steps that count, as excess air. Source: own choice, because smaller ones are not worth a visit and larger ones are felt at once. */
const SEAL_STEP = [0.06, 0.15] as const;
/** Fewest spray hours for a fault to be findable at all. Source: own choice, because 5 is the delay wanted for seal steps without ripple. */
const SPRAYED = { step: 5, common: 1 } as const;
const SEALS = ['pump-seals', 'gun-seals'];
const SLOW_PARTS = ['conveying-filter', 'supplementary-filter', 'inlet-filter', 'fluidizing-ring', ...SEALS];

const AT_LEAST = (low: number): Measure['reach'] => [low, Number.POSITIVE_INFINITY];
const AT_MOST = (high: number): Measure['reach'] => [Number.NEGATIVE_INFINITY, high];

/** All measures over some halls, in the order in which they are told. */
export function measures(scores: readonly CaseScore[]): Measure[] {
  return [...lifeMeasures(scores), ...falseMeasures(scores), ...faultMeasures(scores), ...forecastMeasures(scores)];
}

/** True when a figure reaches what is asked, false when not, null where nothing is asked or measured. */
export function isReached({ estimate, reach }: Measure): boolean | null {
  if (reach === null || estimate === null) return null;
  return estimate.value >= reach[0] && estimate.value <= reach[1];
}

function lifeMeasures(scores: readonly CaseScore[]): Measure[] {
  const lives = scores.flatMap((score) => score.lives);
  const inTime = ({ flaggedAt }: LifeOutcome): boolean =>
    flaggedAt !== null && flaggedAt >= EARLIEST_SHARE && flaggedAt <= LATEST_SHARE;
  const of = (origin: LifeOutcome['origin']) => lives.filter((life) => life.origin === origin);
  const logged = of('logged');
  return [
    share(
      'Inserts logged as new, flagged first at 35–90 % of the wear limit',
      logged,
      inTime,
      'inserts',
      AT_LEAST(0.9),
    ),
    share(
      'Inserts already fitted at the start, flagged first at 35–90 %',
      of('fitted-at-start'),
      inTime,
      'inserts',
      AT_LEAST(0.88),
    ),
    share('Inserts changed without a log entry, flagged first at 35–90 %', of('unlogged'), inTime, 'inserts', null),
    share(
      'Inserts logged as new, flagged too early',
      logged,
      ({ flaggedAt }) => flaggedAt !== null && flaggedAt < EARLIEST_SHARE,
      'inserts',
      AT_MOST(0.05),
    ),
    share(
      'Inserts logged as new, flagged late or missed',
      logged,
      ({ flaggedAt }) => flaggedAt === null || flaggedAt > LATEST_SHARE,
      'inserts',
      AT_MOST(0.05),
    ),
  ];
}

function falseMeasures(scores: readonly CaseScore[]): Measure[] {
  const hours = scores.reduce((sum, { sprayHours }) => sum + sprayHours, 0);
  const years = scores.reduce((sum, { gunYears }) => sum + gunYears, 0);
  const wrong = scores.flatMap(({ findings }) => findings.filter(({ isFalse }) => isFalse));
  const parts = wrong.filter(({ cause }) => isPartId(cause)).length;
  const rate = (name: string, count: number, reach: Measure['reach']): Measure => ({
    name,
    estimate: hours > 0 ? rateInterval(count, hours / 1000) : null,
    unit: 'per 1000 spray hours',
    basis: `${count} in ${hours.toFixed(0)} spray hours`,
    reach,
  });
  return [
    rate('False findings against a part', parts, AT_MOST(0.2)),
    rate('False findings of powder, supply air, sensors and data', wrong.length - parts, AT_MOST(0.5)),
    {
      name: 'False findings against a part, by calendar',
      estimate: years > 0 ? rateInterval(parts, years) : null,
      unit: 'per gun-year',
      basis: `${parts} in ${years.toFixed(1)} gun-years`,
      reach: null,
    },
    share(
      'Traps that raised a finding against a part',
      scores.flatMap(({ traps }) => traps),
      ({ raised }) => raised,
      'traps',
      AT_MOST(0.04),
    ),
  ];
}

function faultMeasures(scores: readonly CaseScore[]): Measure[] {
  const faults = scores.flatMap((score) => score.faults.filter(({ visible }) => visible));
  const steps = faults.filter(
    ({ cause, shape, size, sprayHours }) =>
      SEALS.includes(cause) &&
      shape === 'step' &&
      size >= SEAL_STEP[0] &&
      size <= SEAL_STEP[1] &&
      sprayHours >= SPRAYED.step,
  );
  const ramps = faults.filter(({ cause, before70 }) => SLOW_PARTS.includes(cause) && before70 !== null);
  const foundRamps = ramps.filter(({ found }) => found !== null);
  const common = faults.filter(({ sprayHours }) => sprayHours >= SPRAYED.common);
  const first = ({ rank }: FaultOutcome): boolean => rank === 1;
  const amongTwo = ({ rank }: FaultOutcome): boolean => rank !== null && rank <= 2;
  const of = (matches: (cause: string) => boolean) => common.filter(({ cause }) => matches(cause));
  return [
    share('Seal steps of 6–15 %, right cause first', steps, first, 'steps', AT_LEAST(0.9)),
    share('Seal steps of 6–15 %, right cause among the first two', steps, amongTwo, 'steps', AT_LEAST(0.97)),
    delay(
      'Seal steps, delay with ripple fitted',
      steps.filter(({ ripple }) => ripple),
      1,
    ),
    delay(
      'Seal steps, delay without ripple',
      steps.filter(({ ripple }) => !ripple),
      5,
    ),
    share(
      'Ramps of other parts, found before 70 % of their limit',
      ramps,
      ({ before70 }) => before70 === true,
      'ramps',
      AT_LEAST(0.9),
    ),
    share('Ramps of other parts, right cause first', foundRamps, first, 'ramps found', AT_LEAST(0.9)),
    share('Ramps of other parts, right cause among the first two', foundRamps, amongTwo, 'ramps found', AT_LEAST(0.97)),
    share(
      'Supply events recognised as common',
      of((cause) => cause === 'supply-air'),
      ({ found }) => found === 'supply-air',
      'events',
      AT_LEAST(0.95),
    ),
    share(
      'Sensor faults recognised as function check',
      of((cause) => cause.startsWith('sensor:')),
      ({ category }) => category === 'function-check',
      'faults',
      AT_LEAST(0.95),
    ),
    share(
      'Silent stations found',
      of((cause) => cause === 'no-data'),
      ({ found }) => found === 'no-data',
      'silences',
      null,
    ),
    share(
      'Bad powder lots found',
      of((cause) => cause === 'powder'),
      ({ found }) => found === 'powder',
      'lots and guns',
      null,
    ),
  ];
}

function forecastMeasures(scores: readonly CaseScore[]): Measure[] {
  const byLife = new Map<string, CaseScore['forecasts'][number][]>();
  for (const forecast of scores.flatMap(({ forecasts }) => forecasts)) {
    const known = byLife.get(forecast.life);
    if (known) known.push(forecast);
    else byLife.set(forecast.life, [forecast]);
  }
  const lives = [...byLife.values()];
  const basis = `${lives.reduce((sum, { length }) => sum + length, 0)} forecasts of ${lives.length} inserts`;
  const inside = (groups: readonly CaseScore['forecasts'][]): number =>
    groups.flat().filter((forecast) => forecast.inside).length / groups.flat().length;
  const typical = (name: string, of: 'error' | 'width', reach: number): Measure => ({
    name,
    estimate:
      lives.length > 0 ? medianInterval(lives.map((life) => medianInterval(life.map((one) => one[of])).value)) : null,
    unit: 'share of life',
    basis,
    reach: AT_MOST(reach),
  });
  const judged = scores.filter(({ findings }) => findings.length > 0);
  const count = judged.reduce((sum, { findings }) => sum + findings.length, 0);
  return [
    {
      name: 'Remaining life from half-life on, truth inside p10–p90',
      estimate: lives.length > 0 ? asShare(jackknife(lives, inside)) : null,
      unit: 'share',
      basis,
      reach: [0.75, 0.87],
    },
    typical('Remaining life, median error of p50', 'error', 0.12),
    typical('Remaining life, median width of p10–p90', 'width', 0.5),
    {
      name: 'Calibration, gap between stated probability and share right',
      estimate:
        count > 0
          ? asShare(jackknife(judged, (some) => calibrationGap(some.flatMap(({ findings }) => findings))))
          : null,
      unit: 'share',
      basis: `${count} findings`,
      reach: AT_MOST(0.05),
    },
    share(
      'Cleared within 8 spray hours of the right change',
      scores.flatMap(({ clearings }) => clearings),
      ({ inTime }) => inTime,
      'changes',
      AT_LEAST(0.95),
    ),
  ];
}

/** Limits of a share, within 0 to 1. */
function asShare({ value, low, high }: Estimate): Estimate {
  return { value, low: Math.max(0, low), high: Math.min(1, high) };
}

function share<One>(
  name: string,
  all: readonly One[],
  counts: (one: One) => boolean,
  what: string,
  reach: Measure['reach'],
): Measure {
  const hits = all.filter(counts).length;
  const estimate = all.length > 0 ? shareInterval(hits, all.length) : null;
  return { name, estimate, unit: 'share', basis: `${hits} of ${all.length} ${what}`, reach };
}

function delay(name: string, steps: readonly FaultOutcome[], most: number): Measure {
  const delays = steps.flatMap((step) => (step.delay === null ? [] : [step.delay]));
  return {
    name: `${name}, median`,
    estimate: delays.length > 0 ? medianInterval(delays) : null,
    unit: 'spray hours',
    basis: `${delays.length} steps found of ${steps.length}`,
    reach: AT_MOST(most),
  };
}
