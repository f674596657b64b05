import type { Block } from '../baseline/block.ts';
import { watchGain } from '../baseline/gain-watch.ts';
import { decayQuantity, type GaussianState, restartTrace, takeStep } from '../baseline/gaussian-state.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import { beginLot, noteMoved } from '../baseline/lot-heard.ts';
import { openConductance } from '../baseline/motive-line.ts';
import { calmOf, type PumpGun, type PumpPool } from '../baseline/pump-pool.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { driftOf, openToStep } from '../baseline/steady-level.ts';
import { bestStart, restartStarts, startNear } from '../baseline/step-starts.ts';
import type { CusumState } from '../detect/cusum.ts';
import { START_WINDOW, startLimit, stepLimit } from '../detect/step-limits.ts';
import { agree } from './agree.ts';
import { clear, findOpen } from './finding-book.ts';
import { noteFurther, risesOnceMore } from './further-leak.ts';
import { movedAlike } from './moved-alike.ts';
import type { Bench } from './site-view.ts';
import { newStepCase } from './step-case.ts';
import { dropStep, settle } from './step-end.ts';
import { PULSES } from './step-signs.ts';
import { noticeUnread } from './unread-leak.ts';
import { SUDDEN_HOURS, untoldPulses } from './untold-pulses.ts';
import { watchInsert } from './watch-insert.ts';

const HOUR = 3_600_000;
/** Deviation to which a step opens loss and ripple (ln). Source: own choice: seal steps of 6–15 % air times the elasticity. */
const LOSS_SD = 0.15;
const RIPPLE_SD = 0.8;
/** Where the powder is not read, a loss has to last for so many blocks of one stretch of work: later another powder hides it. Source: own choice, an hour or so; boxes run low for less. */
const UNREAD_BLOCKS = 3;
/** Blocks whose starts are kept, to date a step. Source: own choice, more than a chart takes to a real one. */
const STARTS = 40;
/** Loss (ln) from which a case is not over though a gain was noticed. Source: own choice, a leak of some 3 % of air. */
const STILL_LOST = 0.06;
/** A chart below this says nothing against an earlier block: another powder that were better would have filled it. Source: own choice, three deviations. */
const ELSEWHERE_UP = 3;
/** A case this young when guns turn out to share a step may be that step. Source: own choice, half a day: guns tell of it one after the other. */
const SHARED_MS = 12 * HOUR;

const resetChart = (state: CusumState): void => {
  state.up = 0;
  state.down = 0;
  state.upAge = 0;
  state.downAge = 0;
};

/** Looks at the step charts of a gun after a block, and opens a case where one alarms. */
export function noticeSteps(bench: Bench, block: Block, known: boolean): void {
  const { memory } = bench;
  const { steps } = memory;
  memory.starts.push(block.start);
  if (memory.starts.length > STARTS) memory.starts.shift();
  if (agree(bench, conveyingAlarms, 'falseAlarmsPerGunYear')) {
    openConductance(memory.conveying, 0.1);
    resetChart(steps.conveying);
  }
  // Where the powder is not known, output steps with every powder: only ripple tells.
  if (block.powder === '') for (const state of [steps.output, steps.both]) resetChart(state);
  if (!known) {
    for (const state of [steps.output, steps.both, steps.ripple]) resetChart(state);
    return;
  }
  noticeUnread(bench);
  followCase(bench, block);
  forgetShared(bench, block);
  const start = likeliestStart(bench, block);
  const alarms = agree(bench, (own) => alarmsOf(own, start?.says ?? null), 'falseAlarmsPerGunYear');
  const untold = untoldPulses(memory, block);
  if (alarms === 0 && untold === null) {
    watchInsert(bench, block, startSince(memory, steps.output.upAge));
    return;
  }
  const worse = (alarms & WORSE) !== 0 || untold !== null;
  const better = (alarms & BETTER) !== 0;
  // The chart's last zero dates the change (E. S. Page, Biometrika 41, 1954): the first of the blocks since.
  const age = (alarms & PULSING) !== 0 ? steps.ripple.upAge : better && !worse ? steps.output.upAge : 0;
  const charted = untold ?? startSince(memory, age);
  // Whichever chart is first: ripple that rose with it is told by then, and its own chart begins anew.
  if (worse) noteMore(bench, charted ?? block.start);
  // A leak takes back what was gained before it, and is told by what is lost since.
  if (memory.step?.upward && (untold !== null || (alarms & PULSING) !== 0)) settle(bench, 'level');
  openCase(bench, block, better && !worse, charted, start?.slot ?? null);
  for (const state of [steps.output, steps.both, steps.ripple]) resetChart(state);
}

/** Start of the first of so many blocks, epoch ms; null of none. */
function startSince({ starts }: GunMemory, blocks: number): number | null {
  return blocks > 0 ? (starts[Math.max(0, starts.length - blocks)] ?? null) : null;
}

const WORSE = 1;
const BETTER = 2;
/** Ripple tells of it. */
const PULSING = 4;

function conveyingAlarms({ memory, tunables }: Bench): boolean {
  const { up, down } = memory.steps.conveying;
  // Where the charts are at nought, limits need not be looked up.
  if (up === 0 && down === 0) return false;
  const limit = stepLimit(tunables.falseAlarmsPerGunYear);
  return up > limit || down > limit;
}

/** Which of the charts of steps are beyond their limits; 0 where none is. */
function alarmsOf({ memory, tunables }: Bench, startSays: number | null): number {
  const { output, both, ripple } = memory.steps;
  const limit = stepLimit(tunables.falseAlarmsPerGunYear);
  const pulsing = ripple.up > limit;
  const worse =
    output.down > limit ||
    both.down > limit ||
    pulsing ||
    (startSays !== null && startSays > startLimit(tunables.falseAlarmsPerGunYear, START_WINDOW));
  return (worse ? WORSE : 0) | (output.up > limit ? BETTER : 0) | (pulsing ? PULSING : 0);
}

/**
 * What guns shared is no gun's own: charts begin anew, and a case that may have been that step is forgotten. What was raised on it is taken
 * back; a leak that is there all the same is noticed again.
 */
function forgetShared(bench: Bench, block: Block): void {
  const { memory, pool, book, now, told } = bench;
  const gun = pool.guns[memory.id];
  const taken = Math.max(pool.common.taken, pool.powders[block.powder]?.lotSince ?? 0);
  if (taken <= memory.sharedSince || gun === undefined) return;
  memory.sharedSince = taken;
  const { steps, step } = memory;
  for (const state of [steps.output, steps.both]) resetChart(state);
  restartStarts(pool.gaussian, gun.losses, block.end);
  restartTrace(pool.gaussian.traces[gun.gain]!, true);
  if (step === null || taken - step.noticed > SHARED_MS || pulses(bench)) return;
  const open = findOpen(book, memory.id, 'step');
  if (open !== undefined)
    clear(book, open, now, memory.sprayHours, 'several guns lost the same at the same time: no part', told);
  dropStep(bench);
}

/** Ripple that rose with a step is the gun's own, whatever others lost with it. */
function pulses({ memory }: Bench): boolean {
  const ripple = driftOf(memory.ripple);
  return ripple !== null && ripple.mean > PULSES && ripple.mean > 3 * ripple.sd;
}

/** What was known of a case before ripple began to rise once more. A loss that stays with other powders is not the powder's in which it began. */
function followCase(bench: Bench, { powder, output }: Block): void {
  const { memory, pool } = bench;
  const { step, steps, id } = memory;
  if (step === null) return;
  // Before the first is told, a rise is its own.
  const ripple = findOpen(bench.book, id, 'step') === undefined ? null : driftOf(memory.ripple);
  if (ripple !== null && steps.ripple.up === 0)
    step.calm = { ripple: ripple.mean, loss: lossOf(pool, id), atHours: memory.sprayHours };
  else if (
    ripple !== null &&
    step.calm !== undefined &&
    memory.sprayHours - step.calm.atHours < SUDDEN_HOURS &&
    risesOnceMore(ripple.mean - step.calm.ripple, ripple.sd)
  )
    noteMore(bench, startSince(memory, steps.ripple.upAge) ?? bench.now);
  if (powder === '' || powder === step.powder || !Number.isFinite(output)) return;
  if (steps.output.up < ELSEWHERE_UP) step.elsewhere++;
}

/** The start of a loss that the output speaks for most. */
function likeliestStart({ memory, pool }: Bench, { powder }: Block): { slot: number; says: number } | null {
  const gun = pool.guns[memory.id];
  if (gun === undefined || memory.step?.unread === true) return null;
  const best = bestStart(pool.gaussian, gun.losses, powder === '' ? UNREAD_BLOCKS : undefined);
  // A gun whose output spreads wider than believed says so much less.
  return best === null ? null : { slot: best.slot, says: best.says / Math.sqrt(Math.max(1, gun.unrest) * calmOf(gun)) };
}

/** Loss of the present step as believed, ln output; 0 where the output tells of none. */
function lossOf({ guns, gaussian }: PumpPool, id: string): number {
  const gun = guns[id];
  return gun === undefined ? 0 : gaussian.mean[gun.leak]!;
}

/**
 * Ripple that rises once more while seals are known to leak is a leak of its own, whether it or the output is noticed first. The rise counts from where the chart of
 * ripple left zero: a refit opens what is believed of ripple, and that has followed it when the chart alarms.
 */
function noteMore({ memory, pool, book }: Bench, onset: number): void {
  const { step, id, sprayHours } = memory;
  const ripple = driftOf(memory.ripple);
  const first = findOpen(book, id, 'step');
  if (step === null || ripple === null || !first?.cause.endsWith('-seals')) return;
  const { calm = { ripple: ripple.mean, loss: lossOf(pool, id) } } = step;
  noteFurther(step, first, { ripple: calm.ripple, loss: calm.loss, onset, atHours: sprayHours });
}

/**
 * @param charted start of the first block of the step where ripple or a gain dates it, epoch ms; null where the output does
 * @param best the start that the output speaks for most
 */
function openCase(bench: Bench, block: Block, upward: boolean, charted: number | null, best: number | null): void {
  const { memory, pool, now } = bench;
  const gun = pool.guns[memory.id];
  const { gaussian } = pool;
  const moved = gun === undefined ? [] : movedAlike(bench, upward);
  const powder = pool.powders[block.powder];
  const common = moved.length > 0;
  if (common && powder !== undefined && block.powder !== '') {
    if (now - powder.lotTaken > 24 * HOUR) beginLot(powder, gaussian.mean[powder.lot]!, true, now);
    powder.lotSince = powder.lotTaken;
    for (const mover of [memory.id, ...moved]) noteMoved(powder, mover);
    decayQuantity(gaussian, powder.lot, 1, PRIORS.lot ** 2);
  }
  const onset = charted ?? (gun !== undefined && best !== null ? gun.losses.since[best]! : block.start);
  if (gun !== undefined)
    takeLoss(gaussian, gun, upward, upward || charted === null ? best : startNear(gun.losses, charted), block.end);
  if (upward && gun !== undefined && !common && block.powder !== '') watchGain(gun, onset, memory.sprayHours);
  if (!upward || memory.step !== null) openToStep(memory.ripple, RIPPLE_SD);
  if (memory.step !== null && memory.step.upward === upward) return;
  if (memory.step !== null && !memory.step.upward) {
    // A hand that turned the air up too far shows as a gain: what is left of the loss is looked at as before.
    const left = gun === undefined ? 0 : gaussian.mean[gun.leak]!;
    if (left > STILL_LOST || findOpen(bench.book, memory.id, 'step') !== undefined) return;
  }
  memory.step = newStepCase(memory, now, { onset, upward, powder: block.powder, common });
}

/** Takes the loss since a start (or the gain) in, and begins to look for another. */
function takeLoss(gaussian: GaussianState, gun: PumpGun, upward: boolean, start: number | null, now: number): void {
  if (upward) takeStep(gaussian, gaussian.traces[gun.gain]!, gun.leak, LOSS_SD ** 2, 1);
  else if (start === null) decayQuantity(gaussian, gun.leak, 1, LOSS_SD ** 2);
  else takeStep(gaussian, gaussian.traces[gun.losses.traces[start]!]!, gun.leak, LOSS_SD ** 2, 1);
  restartStarts(gaussian, gun.losses, now);
}
