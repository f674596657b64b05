import type { SteadyLevelSettings } from './steady-level.ts';
import { logUnitFlow } from './unit-flow.ts';

/** How the supplementary line behaves while its filter is sound: ln(flow / what a sound line of unit conductance passes) over ln absolute pressure. Source: own choice, as for the other lines. */
export const SUPPLEMENTARY_LINE: SteadyLevelSettings = {
  levelSd: 0.5,
  slope: { mean: 0, sd: 0.3 },
  driftPerHour: 0.01,
  nuisance: { sd: 0.012, hours: 60 },
  block: 0.008,
};

/** Critical ratio of what meters this air. Source: handbook section 3, between 0.3 and 0.5. */
const CRITICAL = 0.4;
/**
 * The hose's back pressure, into which this air flows, bar, and how far that differs from gun to gun and hour to hour. Source: own choice, some metres of
 * 9 to 12 mm hose at the total air of handbook section 1.
 */
const BACK = { bar: 0.06, sd: 0.03 };
/** Deviation of ln flow beyond which the pressure before the line is too near to that behind it to tell of a filter. Source: own choice, as much as a clogged filter does. */
const MOST_SD = 0.2;
/** Variance of one run's ratio. Source: own choice, 2 %. */
const RUN_VARIANCE = 0.02 ** 2;

/** What one block says of the line: its setting (ln pressure), ln conductance, and the variance of that. */
export interface LineReading {
  readonly setting: number;
  readonly value: number;
  readonly variance: number;
}

/**
 * Reads the supplementary line's conductance off a block. A unit that keeps the total air throttles it to almost nothing when worn inserts ask for more conveying
 * air: little above the hose's own pressure, flow falls much faster than pressure, and how fast depends on that hose.
 *
 * Source: ISO 6358-1 as in handbook section 3.
 *
 * @param flow m3/h
 * @param pressureBar absolute, before it
 * @param atmosphereBar absolute
 * @param runs that the block is the mean of
 * @returns null where the pressure is too near to the hose's
 */
export function readSupplementary(
  flow: number,
  pressureBar: number,
  atmosphereBar: number,
  runs: number,
): LineReading | null {
  const behind = atmosphereBar + BACK.bar;
  if (!(flow > 0) || !(pressureBar > behind)) return null;
  const unit = logUnitFlow(pressureBar, behind, CRITICAL);
  const sd = unit - logUnitFlow(pressureBar, behind + BACK.sd, CRITICAL);
  if (sd > MOST_SD) return null;
  return { setting: Math.log(pressureBar), value: Math.log(flow) - unit, variance: RUN_VARIANCE / runs + sd * sd };
}
