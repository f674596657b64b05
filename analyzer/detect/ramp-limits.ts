import { PROMISE_SHARES } from './promise-shares.ts';
import { INSERT_RAMP, LINE_RAMPS, rampRate } from './ramp-rate.ts';

/** Deviations within which limits are sought, and the steps at which the rate is reckoned. Source: own choice: below one a belief says nothing, above six nothing is ever found. */
const FEWEST = 1;
const MOST = 6;
const STEP = 0.25;

/** Rates at the steps, as far as they were needed: they do not depend on what is promised. */
const rates = new Map<string, number>();

/** Smallest deviations at which a rate that falls with them is at most a budget; between two steps its logarithm is taken as straight. */
function deviationsFor(signal: string, budget: number, rateAt: (deviations: number) => number): number {
  const logRate = (step: number): number => {
    const key = `${signal} ${step}`;
    let rate = rates.get(key);
    if (rate === undefined) {
      rate = Math.log(Math.max(rateAt(FEWEST + step * STEP), 1e-12));
      rates.set(key, rate);
    }
    return rate;
  };
  const wanted = Math.log(budget);
  let low = 0;
  let high = Math.round((MOST - FEWEST) / STEP);
  if (logRate(low) <= wanted) return FEWEST;
  if (logRate(high) >= wanted) return MOST;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (logRate(middle) > wanted) low = middle;
    else high = middle;
  }
  return FEWEST + STEP * (low + (logRate(low) - wanted) / (logRate(low) - logRate(high)));
}

/**
 * Deviations by which the belief about an insert's wear has to be beyond the smallest change worth a visit, so that inserts that never
 * wear further than that keep their share of the promise.
 *
 * @param falseAlarmsPerGunYear as the settings state it, > 0
 * @param smallestChange excess air worth a visit, > 0
 * @returns deviations, 1 to 6; a belief that is less sure than INSERT_RAMP's counts as that sure, see `wearBeyond`
 * Source: root of rampRate.
 * @example
 * rampDeviations(0.3, 0.05); // 2.38
 */
export function rampDeviations(falseAlarmsPerGunYear: number, smallestChange: number): number {
  let known = inserts.get(smallestChange);
  if (known === undefined) {
    known = new Map();
    inserts.set(smallestChange, known);
  }
  return remembered(known, falseAlarmsPerGunYear, () => {
    const small = Math.log1p(smallestChange);
    return deviationsFor(`insert ${smallestChange}`, falseAlarmsPerGunYear * PROMISE_SHARES.insert, (z) =>
      rampRate({ ...INSERT_RAMP, small }, z * INSERT_RAMP.sd),
    );
  });
}

/** What was reckoned, by the alarms that are accepted; that of inserts by their smallest change first. Judges ask at every look. */
const inserts = new Map<number, Map<number, number>>();
const lines = new Map<number, number>();

function remembered(known: Map<number, number>, alarms: number, reckon: () => number): number {
  let deviations = known.get(alarms);
  if (deviations === undefined) {
    deviations = reckon();
    known.set(alarms, deviations);
  }
  return deviations;
}

/**
 * The same for the air lines, all together: conveying and supplementary filter, fluidizing ring, inlet filter.
 *
 * @param falseAlarmsPerGunYear as the settings state it, > 0
 * @example
 * lineDeviations(0.3); // 2.69
 */
export function lineDeviations(falseAlarmsPerGunYear: number): number {
  return remembered(lines, falseAlarmsPerGunYear, () =>
    deviationsFor('lines', falseAlarmsPerGunYear * PROMISE_SHARES.lines, (z) =>
      Object.values(LINE_RAMPS).reduce((sum, ramp) => sum + rampRate(ramp, z * ramp.sd), 0),
    ),
  );
}

/** How far beyond the null a belief has to be, ln air: less sure guns are not asked for more, they average out over a site. */
export function wearBeyond(falseAlarmsPerGunYear: number, smallestChange: number, sd: number): number {
  return rampDeviations(falseAlarmsPerGunYear, smallestChange) * Math.min(sd, INSERT_RAMP.sd);
}
