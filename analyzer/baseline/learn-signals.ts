import type { Gun } from '../../collector/contract/index.ts';
import { cusum } from '../detect/cusum.ts';
import { STEP_SLACK } from '../detect/step-limits.ts';
import { type Block, isScalePull } from './block.ts';
import { asAsked, learnShown } from './coupled-output.ts';
import { meetInsert, wearAtFirstSight } from './first-sight.ts';
import { keepCalm } from './gain-watch.ts';
import { restartTrace } from './gaussian-state.ts';
import { type GunMemory, insertHours } from './gun-memory.ts';
import { holdWear, usualWearPerHour } from './held-wear.ts';
import { type Heard, learnBlock } from './learn-block.ts';
import { followGauge } from './low-gauge.ts';
import { learnMotiveLine } from './motive-line.ts';
import { calmOf, type PumpPool } from './pump-pool.ts';
import { wearClock, wearInsert } from './pump-wear.ts';
import { learnSteadyLevel, type SteadyLevelSettings } from './steady-level.ts';
import { beginStart } from './step-starts.ts';
import { readSupplementary, SUPPLEMENTARY_LINE } from './supplementary-line.ts';
import { followUnread, newUnreadPowder } from './unread-powder.ts';
import { countOutput, newUsualOutput } from './usual-output.ts';

/**
 * How each signal beside the pumping effect behaves while its part is sound. ln units but for sag (bar).
 * Source: own choice: drift as fast as a part may go in some tens of spray hours, nuisance as weather and gauges move.
 */
export const SIGNALS = {
  supplementary: SUPPLEMENTARY_LINE,
  /** ln(flow / (pressure − bed head)) over ln of the same. */
  fluidizing: {
    levelSd: 0.5,
    slope: { mean: 0, sd: 0.2 },
    driftPerHour: 0.016,
    nuisance: { sd: 0.02, hours: 40 },
    block: 0.012,
  },
  /**
   * ln ripple over ln flow. Powders do not flow alike, so they pulse differently. Source: own choice, what handbook section 4 says of the air that they need (±25 %), as two deviations.
   */
  ripple: {
    levelSd: 1,
    slope: { mean: 1, sd: 0.6 },
    driftPerHour: 0.01,
    nuisance: { sd: 0.05, hours: 24 },
    block: 0.05,
    powderSd: 0.12,
  },
  /** Sag, bar, over total flow, m3/h. */
  sag: {
    levelSd: 0.3,
    slope: { mean: 0.03, sd: 0.05 },
    driftPerHour: 0.012,
    nuisance: { sd: 0.03, hours: 24 },
    block: 0.02,
  },
  /** ln(run-to-run spread / output) over ln flow. */
  unsteadiness: {
    levelSd: 1,
    slope: { mean: 0, sd: 0.5 },
    driftPerHour: 0.02,
    nuisance: { sd: 0.1, hours: 24 },
    block: 0.08,
  },
} as const satisfies Record<string, SteadyLevelSettings>;

/** Head of the fluidized bed above the element, bar. Source: own choice, 0.3 m of powder at 500 kg/m3. */
const BED_HEAD_BAR = 0.015;
/**
 * Runs from which a block tells of a line. One or two that stand apart from the setting before and after were read while the air was
 * on its way there, flow and pressure a few seconds apart. Source: own choice.
 */
const STEADY_RUNS = 3;
/** Spread of one run's ripple in ln, for the error of a block's mean where few runs tell it. Source: own choice. */
const RIPPLE_RUN_SD = 0.12;

/** What one block said, as deviations from what was expected (0 where a signal is not fitted). */
export interface BlockVerdicts {
  readonly output: number | null;
  readonly ripple: number | null;
  readonly conveying: number;
}

/** A single odd block must not fill a chart alone. Source: own choice. */
const CHART_CLIP = 5;
const CHART = cusum.schema.parse({ limit: 1, slack: STEP_SLACK, direction: 'both' });

function chart(state: GunMemory['steps'][keyof GunMemory['steps']], z: number): void {
  cusum.step(CHART, state, Math.max(-CHART_CLIP, Math.min(CHART_CLIP, z)));
}

/**
 * Takes one closed block into every signal of its gun and into the pool.
 *
 * @param atmosphereBar absolute pressure outside
 * @param kind how the output is known
 */
export function learnSignals(
  memory: GunMemory,
  pool: PumpPool,
  block: Block,
  atmosphereBar: number,
  kind: Gun['output'],
): BlockVerdicts {
  const hours = block.minutes / 60;
  let conveying = 0;
  const steady = block.runs >= STEADY_RUNS;
  if (steady && Number.isFinite(block.pressure) && followGauge(memory.lowGauge, block, block.pressure, atmosphereBar)) {
    conveying = learnMotiveLine(memory.conveying, block.end, hours, block.flow, block.pressure, atmosphereBar);
    chart(memory.steps.conveying, conveying);
  }
  const side = steady
    ? readSupplementary(block.supplementary, block.supplementaryPressure, atmosphereBar, block.runs)
    : null;
  if (side !== null)
    learnSteadyLevel(
      memory.supplementary,
      SIGNALS.supplementary,
      block.end,
      hours,
      side.setting,
      side.value,
      side.variance,
    );
  if (steady && Number.isFinite(block.fluidizing)) {
    const log = Math.log(Math.max(block.fluidizingPressure - atmosphereBar - BED_HEAD_BAR, 0.02));
    const value = Math.log(block.fluidizing) - log;
    learnSteadyLevel(memory.fluidizing, SIGNALS.fluidizing, block.end, hours, log, value, 0.02 ** 2 / block.runs);
  }
  if (block.sagRuns > 0) {
    const total = Math.exp(block.flow) + (Number.isFinite(block.supplementary) ? block.supplementary : 0);
    learnSteadyLevel(memory.sag, SIGNALS.sag, block.end, hours, total, block.sag, 0.1 ** 2 / block.sagRuns);
  }
  if (Number.isFinite(block.unsteadiness) && kind === 'measured')
    learnSteadyLevel(
      memory.unsteadiness,
      SIGNALS.unsteadiness,
      block.end,
      hours,
      block.flow,
      block.unsteadiness,
      0.3 ** 2 / block.runs,
    );
  let ripple: number | null = null;
  if (Number.isFinite(block.ripple) && Number.isFinite(block.rippleVariance)) {
    const variance = Math.max(block.rippleVariance, RIPPLE_RUN_SD ** 2 / block.runs);
    const { ripple: signal } = SIGNALS;
    ripple = learnSteadyLevel(
      memory.ripple,
      signal,
      block.end,
      hours,
      block.flow,
      block.ripple,
      variance,
      block.powder,
    );
    chart(memory.steps.ripple, ripple);
  }
  wearOn(memory, pool, block, hours);
  if (pool.guns[memory.id] === undefined) meetInsert(memory, block.start);
  const first = wearAtFirstSight(memory);
  if (kind === 'coupled') {
    // No step shows in it: an unread recipe may be behind.
    const asked = asAsked(memory, block);
    learnShown(pool, block);
    if (usableOutput(asked) && learnBlock(pool, asked, kind, first) !== null) count(memory, pool, asked, hours);
    return { output: null, ripple, conveying };
  }
  const heard = usableOutput(block) ? learnBlock(pool, block, kind, first) : null;
  const output = heard === null ? null : heard.value / Math.sqrt(heard.variance * calmOf(pool.guns[memory.id]!));
  if (output !== null) {
    chart(memory.steps.output, output);
    if (ripple !== null) chart(memory.steps.both, (output - Math.max(-1, Math.min(CHART_CLIP, ripple))) / Math.SQRT2);
    followSteps(memory, pool, block.end);
    if (block.powder === '' && !Number.isFinite(block.ripple)) followPowder(memory, pool, block, heard!, kind);
    count(memory, pool, block, hours);
  }
  return { output, ripple, conveying };
}

/** What went through the insert in this block: measured, or where output is unknown the spray time at the usual output. */
function wearOn(memory: GunMemory, pool: PumpPool, block: Block, hours: number): void {
  if (isScalePull(block)) return;
  const kilograms = block.kilograms > 0 ? block.kilograms : memory.kilogramsPerHour * hours;
  memory.insert.kilograms += kilograms;
  memory.insert.clock += wearClock(pool, memory.id, block.powder, kilograms, block.flow);
  memory.kilograms += kilograms;
  wearInsert(pool, memory.id, block.powder, kilograms, block.flow, hours);
}

/** Every block may be the last before a step to the worse; one to the better is followed from when its chart leaves zero. */
function followSteps({ id, steps }: GunMemory, pool: PumpPool, now: number): void {
  const gun = pool.guns[id]!;
  beginStart(pool.gaussian, gun.losses, now);
  if (steps.output.up > 0) return;
  restartTrace(pool.gaussian.traces[gun.gain]!, true);
  keepCalm(pool, gun);
}

/** Spray hours that operators of set outputs take to answer a new insert. Source: own choice, half a shift at each of two recipes. */
const HAND_HOURS = 4;

/** Where neither powder nor ripple is read, powders and a leak are told apart by what comes back. */
function followPowder(memory: GunMemory, pool: PumpPool, block: Block, heard: Heard, kind: Gun['output']): void {
  const gun = pool.guns[memory.id]!;
  const believed = pool.gaussian.mean[gun.wear]!;
  memory.unread ??= newUnreadPowder(believed);
  const { unread } = memory;
  const { start, end, minutes, output } = block;
  const hours = minutes / 60;
  const set = kind === 'setpoint';
  const tooFast = holdWear(unread.wear, believed, hours, usualWearPerHour(pool, gun, memory.clockPerHour));
  // After a change a hand turns the air down recipe by recipe; until then it looks like a loss.
  if (set && memory.insert.since !== null && insertHours(memory) < HAND_HOURS) return;
  // Where a hand follows the wear, what it has yet to answer looks like it: there only the belief tells.
  const level = heard.level - (set ? 0 : tooFast);
  followUnread(unread, { start, end, hours, level, variance: heard.noise, output }, set);
}

/** Output that tells of the pump: not a box run empty, a purge or a shared scale. */
function usableOutput(block: Block): boolean {
  if (!Number.isFinite(block.output) || block.runs < 2) return false;
  return block.minutes > 0.5;
}

function count(memory: GunMemory, pool: PumpPool, block: Block, hours: number): void {
  let usual = memory.usual[block.powder];
  if (usual === undefined) {
    usual = newUsualOutput();
    memory.usual[block.powder] = usual;
  }
  countOutput(usual, block.output, hours);
  countOutput(memory.usualOutput, block.output, hours);
  if (hours <= 0) return;
  const kilograms = hours * 0.06 * Math.exp(block.output);
  const clock = wearClock(pool, memory.id, block.powder, kilograms, block.flow);
  const weight = memory.clockPerHour === 0 ? 1 : Math.min(1, hours / 10);
  memory.clockPerHour += weight * (clock / hours - memory.clockPerHour);
  memory.kilogramsPerHour += weight * (kilograms / hours - memory.kilogramsPerHour);
}
