import type { Block } from '../baseline/block.ts';
import { decayQuantity, takeStep } from '../baseline/gaussian-state.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import { openConductance } from '../baseline/motive-line.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { openToStep } from '../baseline/steady-level.ts';
import type { CusumState } from '../detect/cusum.ts';
import { stepLimit } from '../detect/step-limits.ts';
import { findOpen } from './finding-book.ts';
import type { Bench } from './site-view.ts';

const HOUR = 3_600_000;
/** A step this near to a refit or a change of powder may be its doing. Source: own choice: before, as log times are rounded; after, the first hours of use. */
const BEFORE_MS = 0.5 * HOUR;
const AFTER_MS = 10 * HOUR;
/** Deviation to which a step opens loss and ripple (ln). Source: own choice: seal steps of 6–15 % air times the elasticity. */
const LOSS_SD = 0.15;
const RIPPLE_SD = 0.8;

const resetChart = (state: CusumState): void => {
  state.up = 0;
  state.down = 0;
  state.upAge = 0;
  state.downAge = 0;
};

/** Looks at the step charts of a gun after a block, and opens a case where one alarms. */
export function noticeSteps(bench: Bench, block: Block, known: boolean): void {
  const { memory, tunables } = bench;
  const limit = stepLimit(tunables.falseAlarmsPerGunYear);
  const { steps } = memory;
  if (steps.conveying.up > limit || steps.conveying.down > limit) {
    openConductance(memory.conveying, 0.1);
    resetChart(steps.conveying);
  }
  // Where the powder is not known, output steps with every powder: only ripple tells.
  if (block.powder === '') for (const state of [steps.output, steps.both]) resetChart(state);
  if (!known) {
    for (const state of [steps.output, steps.both, steps.ripple]) resetChart(state);
    return;
  }
  const worse = steps.output.down > limit || steps.both.down > limit || steps.ripple.up > limit;
  const better = steps.output.up > limit;
  if (!worse && !better) return;
  const age = Math.max(
    steps.output.down > limit ? steps.output.downAge : 0,
    steps.both.down > limit ? steps.both.downAge : 0,
    steps.ripple.up > limit ? steps.ripple.upAge : 0,
    better ? steps.output.upAge : 0,
  );
  openCase(bench, block, better && !worse, age);
  for (const state of [steps.output, steps.both, steps.ripple]) resetChart(state);
}

function openCase(bench: Bench, block: Block, upward: boolean, age: number): void {
  const { memory, pool, now } = bench;
  const gun = pool.guns[memory.id];
  const { gaussian } = pool;
  const others = gun === undefined ? { active: 0, moved: 0 } : supporters(bench, upward);
  const powder = pool.powders[block.powder];
  const common = others.moved >= 1 && others.moved >= 0.5 * others.active;
  if (common && powder !== undefined && block.powder !== '') {
    if (now - powder.lotSince > 24 * HOUR) {
      powder.lotSince = now;
      powder.lotBefore = gaussian.mean[powder.lot]!;
    }
    decayQuantity(gaussian, powder.lot, 1, PRIORS.lot ** 2);
  }
  if (gun !== undefined) takeStep(gaussian, gaussian.traces[gun.traces[upward ? 1 : 0]]!, gun.leak, LOSS_SD ** 2, 1);
  if (!upward || memory.step !== null) openToStep(memory.ripple, RIPPLE_SD);
  if (memory.step !== null && memory.step.upward === upward) return;
  if (memory.step !== null && !memory.step.upward && findOpen(bench.book, memory.id, 'step') !== undefined) return;
  const onset = Math.max(
    block.end - age * 0.13 * (now - Math.max(memory.powderSince, now - 8 * HOUR)),
    block.end - age * 30 * 60_000,
  );
  const near = (time: number): boolean => onset - time < AFTER_MS && time - onset < BEFORE_MS;
  memory.step = {
    onset,
    noticed: now,
    atHours: memory.sprayHours,
    upward,
    refit: memory.log.some(({ part, action, time }) => part.endsWith('-seals') && action !== 'inspected' && near(time)),
    hoseWork: memory.log.some(
      ({ part, time }) => (part === 'powder-hose' || part === 'gun-tube' || part === 'gun-seals') && near(time),
    ),
    powderChange: Math.abs(onset - memory.powderSince) < 0.75 * HOUR,
    common,
    peak: 0,
    tried: [],
  };
}

/** Guns of the same pool that spray the same powder now, and how many of them moved the same way lately. */
function supporters(bench: Bench, upward: boolean): { active: number; moved: number } {
  const { memory, guns, pool, now } = bench;
  let active = 0;
  let moved = 0;
  for (const id in pool.guns) {
    const other = guns[id] as GunMemory;
    if (id === memory.id || other.powder !== memory.powder || now - other.lastEnd > 2 * HOUR) continue;
    active++;
    const chart = upward ? other.steps.output.up : other.steps.output.down;
    const cased = other.step !== null && other.step.upward === upward && now - other.step.noticed < 2 * HOUR;
    if (chart > 4 || cased) moved++;
  }
  return { active, moved };
}
