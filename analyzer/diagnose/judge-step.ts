import { curveOf } from '../baseline/excess-air.ts';
import { linearForm, moveQuantity, observe, resetQuantity } from '../baseline/gaussian-state.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import { localElasticity } from '../baseline/pump-curve.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { fitInsert } from '../baseline/pump-wear.ts';
import { driftOf } from '../baseline/steady-level.ts';
import { type Candidate, clear, findOpen, type Judgement, raise, update } from './finding-book.ts';
import type { Bench } from './site-view.ts';

/** What one cause of a step looks like: ln of the air that it costs and of the rise of ripple, mean and deviation. */
interface Look {
  readonly cause: string;
  readonly odds: number;
  readonly loss: readonly [number, number];
  readonly ripple: readonly [number, number];
}

/**
 * Looks of the causes of a sudden loss. Ripple: handbook section 2 ('ripple up' for seals, 'little' for the insert, none
 * for powder and a kinked hose); the sizes and odds are own choice, wide.
 */
const LOOKS: readonly Look[] = [
  { cause: 'pump-seals', odds: 0.4, loss: [0.095, 0.04], ripple: [0.9, 0.5] },
  { cause: 'gun-seals', odds: 0.06, loss: [0.035, 0.02], ripple: [0.75, 0.45] },
  { cause: 'powder-hose', odds: 0.05, loss: [0.08, 0.05], ripple: [0.05, 0.15] },
  { cause: 'pump-insert', odds: 0.03, loss: [0.08, 0.05], ripple: [0.05, 0.1] },
  { cause: 'powder', odds: 0.3, loss: [0.0, 0.07], ripple: [0, 0.07] },
  { cause: '', odds: 0.6, loss: [0, 0.02], ripple: [0, 0.07] },
];

/** Loss (ln) and ripple rise of the present step with their deviations; ripple null where not fitted. */
interface StepSigns {
  readonly loss: number;
  readonly lossSd: number;
  /** A loss over this is ln of the air that it costs. */
  readonly elasticity: number;
  readonly ripple: number | null;
  readonly rippleSd: number;
  /** The gun's output tells nothing of a loss: only ripple does. */
  readonly blind: boolean;
}

/** With a set output: how large a loss may still be hidden, and how long operators take to answer it. Source: own choice. */
const HIDDEN_SD = 0.15;
const HIDDEN_HOURS = 1.5;

export function stepSigns(bench: Bench): StepSigns {
  const gun = bench.pool.guns[bench.memory.id];
  // Without an output of its own the gun tells nothing of a loss.
  const loss =
    gun === undefined ? { mean: 0, variance: HIDDEN_SD ** 2 } : linearForm(bench.pool.gaussian, [gun.leak], [1]);
  const ripple = driftOf(bench.memory.ripple);
  const { step, sprayHours } = bench.memory;
  // A set output hides a loss until the operator has turned the air up.
  const hidden =
    bench.gun.output === 'setpoint' && step !== null
      ? HIDDEN_SD * Math.exp(-(sprayHours - step.atHours) / HIDDEN_HOURS)
      : 0;
  return {
    loss: loss.mean,
    lossSd: Math.hypot(Math.sqrt(loss.variance), hidden),
    elasticity: elasticityOf(bench),
    ripple: ripple === null ? null : ripple.mean,
    rippleSd: ripple === null ? 0 : ripple.sd,
    blind: gun === undefined,
  };
}

/** Elasticity of the gun's curve at its usual air, as far as it is known. */
function elasticityOf({ pool, memory }: Bench): number {
  const gun = pool.guns[memory.id];
  if (gun === undefined || gun.practice.weight === 0) return PRIORS.elasticity.mean;
  return localElasticity(gun.practice.flow / pool.reference, curveOf(pool, memory.id));
}

/** Probabilities of the causes of the present step; '' is none. */
export function stepCandidates(memory: GunMemory, signs: StepSigns): Candidate[] {
  const step = memory.step!;
  const density = (x: number, [mean, sd]: readonly [number, number], error: number): number => {
    const spread = Math.hypot(sd, error);
    return Math.exp(-0.5 * ((x - mean) / spread) ** 2) / spread;
  };
  const tried = notCuredBy(memory, signs);
  const scored = LOOKS.map((look) => {
    let weight = look.odds * density(signs.loss / signs.elasticity, look.loss, signs.lossSd / signs.elasticity);
    if (signs.ripple !== null) weight *= density(signs.ripple, look.ripple, signs.rippleSd);
    if (look.cause.endsWith('-seals') && step.refit) weight *= 3;
    if (look.cause === 'gun-seals' && step.hoseWork) weight *= 4;
    if (look.cause === 'powder') weight *= step.powderChange ? 3 : 0.5;
    if (look.cause === 'powder' && step.common) weight *= 8;
    if (look.cause !== '' && look.cause !== 'powder' && step.common) weight *= 0.3;
    if (tried.includes(look.cause)) weight *= 0.1;
    return { cause: look.cause, probability: weight };
  });
  const total = scored.reduce((sum, { probability }) => sum + probability, 0);
  return scored.map(({ cause, probability }) => ({ cause, probability: probability / total }));
}

/** Spray hours after a change from which the signal tells whether it cured. Source: own choice, some ten blocks. */
const PROOF_HOURS = 1.5;

/** Parts that were changed while the step lasted and whose change did not bring the signal back. */
function notCuredBy(memory: GunMemory, signs: StepSigns): string[] {
  const step = memory.step!;
  if (signs.blind ? pulsesNoMore(signs) : signs.loss < 0.6 * step.peak) return [];
  return step.tried.filter(({ atHours }) => memory.sprayHours - atHours > PROOF_HOURS).map(({ part }) => part);
}

/** True when ripple, where fitted, is about what it was before the step. */
function pulsesNoMore({ ripple }: StepSigns): boolean {
  return ripple === null || ripple < 0.25;
}

/** True while a change has been made whose effect cannot be told yet. */
function inProof(memory: GunMemory): boolean {
  const last = memory.step!.tried.at(-1);
  return last !== undefined && memory.sprayHours - last.atHours <= PROOF_HOURS;
}

/** Spray hours after which a step that no cause explains is taken for a new normal. Source: own choice. */
const SETTLE_HOURS = 4;

/** Looks at a step that a chart noticed: which cause, raise, settle, or clear when it is gone. */
export function judgeStep(bench: Bench): void {
  const { memory, book, now, told } = bench;
  const open = findOpen(book, memory.id, 'step');
  const step = memory.step;
  if (step === null) return;
  const signs = stepSigns(bench);
  const age = memory.sprayHours - step.atHours;
  if (step.upward) {
    judgeReturn(bench, signs, age);
    return;
  }
  step.peak = Math.max(step.peak, signs.loss);
  const candidates = stepCandidates(memory, signs);
  const none = candidates.find(({ cause }) => cause === '')!.probability;
  const named = candidates.filter(({ cause }) => cause !== '').sort((a, b) => b.probability - a.probability);
  const top = named[0]!;
  if (open !== undefined) {
    const lossBack = signs.loss < Math.max(0.03, 0.3 * step.peak);
    if (lossBack && pulsesNoMore(signs) && (signs.lossSd < 0.05 || signs.blind)) {
      clear(book, open, now, memory.sprayHours, 'the signal is back where it was before the step', told);
      endStep(bench);
      return;
    }
    if (!inProof(memory)) {
      const verdict = judgement(bench, signs, openCandidates(named, none));
      update(open, verdict, now, memory.sprayHours, told);
    }
    return;
  }
  const parts = named.filter(({ cause }) => cause !== 'powder').reduce((sum, { probability }) => sum + probability, 0);
  const sure = signs.loss > 1.64 * signs.lossSd || (signs.ripple !== null && signs.ripple > 4 * signs.rippleSd);
  // Without a pulse that ripple would show, air alone does not say which part: hose and insert are no first causes of a step.
  const pulses = signs.ripple === null || signs.ripple > 0.15;
  if (sure && pulses && parts > 0.75 && top.cause.endsWith('-seals') && lasts(signs, age)) {
    raiseStep(bench, signs, named, step.onset, step.noticed);
    return;
  }
  const smallest = signs.elasticity * Math.log1p(bench.tunables.smallestChange);
  if (top.cause === 'powder' && top.probability > 0.7 && signs.loss - 1.64 * signs.lossSd > smallest && age > 0.5) {
    raiseStep(bench, signs, named, step.onset, step.noticed);
    return;
  }
  if (age > SETTLE_HOURS) settleOrEnd(bench, signs, top.cause === 'powder' || step.powderChange);
}

/** Candidates of a finding that is open: that nothing is wrong is not among them, and weighs no more than half. */
function openCandidates(named: readonly Candidate[], none: number): Candidate[] {
  const share = Math.max(1 - none, 0.5) / Math.max(1 - none, 1e-6);
  return named.map(({ cause, probability }) => ({ cause, probability: probability * share }));
}

/** Without ripple only the loss speaks: it has to be large, and to stay while operators, lots and boxes come and go. Source: own choice. */
const ALONE = { loss: 0.07, deviations: 2, hours: 2 };

/** With ripple it is the size of the loss that tells pump from gun seals: wait until it is known, but not long. */
const NAMED_SD = 0.018;
const NAMED_HOURS = 0.6;

function lasts(signs: StepSigns, age: number): boolean {
  if (signs.ripple !== null) return signs.lossSd / signs.elasticity < NAMED_SD || age > NAMED_HOURS;
  return age >= ALONE.hours && signs.loss - ALONE.deviations * signs.lossSd > ALONE.loss;
}

function raiseStep(bench: Bench, signs: StepSigns, named: readonly Candidate[], onset: number, _noticed: number): void {
  const { memory, book, now, told } = bench;
  raise(
    book,
    { gun: memory.id, cause: named[0]!.cause, subject: 'step', onset, now, sprayHours: memory.sprayHours },
    judgement(bench, signs, named),
    told,
  );
}

function judgement(bench: Bench, signs: StepSigns, named: readonly Candidate[]): Judgement {
  const { memory } = bench;
  const step = memory.step!;
  const evidence = [];
  if (!signs.blind)
    evidence.push(
      `output for the same air fell by ${(100 * -Math.expm1(-signs.loss)).toFixed(0)} % at once, ${step.refit ? 'after a refit' : step.powderChange ? 'at a change of powder' : 'with no change of powder'}`,
    );
  if (signs.ripple !== null)
    evidence.push(
      signs.ripple > 0.15
        ? `conveying air pulses: ripple is ${Math.exp(signs.ripple).toFixed(1)} times what it was`
        : 'conveying air does not pulse more than before',
    );
  for (const part of notCuredBy(memory, signs)) evidence.push(`${part} was changed and the signal did not come back`);
  return {
    category: named[0]!.cause === 'powder' ? 'out-of-specification' : 'maintenance-required',
    candidates: named,
    excessAir: signs.blind ? null : Math.expm1(signs.loss / signs.elasticity),
    remaining: null,
    evidence,
  };
}

/**
 * A gain is an insert changed without a word when the insert was well worn, and nearly all of its loss has gone. Source: own choice:
 * inserts are seldom changed early, and lots and weather do as much as a little wear.
 */
const UNLOGGED = { wear: 0.13, share: 0.7, deviations: 3 };

/** A sudden gain: a leak healed, an insert changed without a word, or a better lot. */
function judgeReturn(bench: Bench, signs: StepSigns, age: number): void {
  const { memory, pool } = bench;
  const gun = pool.guns[memory.id];
  if (gun === undefined || age < 0.3) return;
  const wear = linearForm(pool.gaussian, [gun.wear], [1]);
  const sum = linearForm(pool.gaussian, [gun.wear, gun.leak], [1, 1]);
  const gained = -signs.loss > UNLOGGED.deviations * signs.lossSd;
  if (
    gained &&
    !memory.step!.common &&
    wear.mean > UNLOGGED.wear &&
    -signs.loss > UNLOGGED.share * wear.mean &&
    Math.abs(sum.mean) < 2.5 * Math.sqrt(sum.variance) + 0.03
  ) {
    resetQuantity(pool.gaussian, gun.leak, 0, 0.003 ** 2);
    fitInsert(pool, memory.id);
    memory.insert = { since: memory.step!.onset, logged: false, sprayHours: age, kilograms: 0 };
    memory.step = null;
    return;
  }
  if (age > 2) settleOrEnd(bench, signs, memory.step!.powderChange);
}

/** A step that stays but that no cause explains is a new normal; one that has gone was none. */
function settleOrEnd(bench: Bench, signs: StepSigns, powder: boolean): void {
  if (Math.abs(signs.loss) > 3 * signs.lossSd && Math.abs(signs.loss) > 0.06)
    settle(bench, powder ? 'powder' : 'level');
  else endStep(bench);
}

/** How far from none a leak is once the signal is back. Source: own choice. */
const CURED_SD = 0.015;

/** The step is over: there is no leak, and what was ascribed to one belongs elsewhere. */
function endStep(bench: Bench): void {
  const { memory, pool } = bench;
  const gun = pool.guns[memory.id];
  if (gun !== undefined) {
    observe(pool.gaussian, [gun.leak], [1], 0, CURED_SD ** 2, 3);
    resetQuantity(pool.gaussian, gun.leak, 0, 0.003 ** 2);
  }
  memory.step = null;
}

/** Takes what is left of a step into the gun's level (or what the powder does on this gun) and ends the case. */
function settle(bench: Bench, into: 'level' | 'powder'): void {
  const { memory, pool } = bench;
  const gun = pool.guns[memory.id];
  if (gun !== undefined) {
    const { mean, cov, n } = pool.gaussian;
    const own = gun.powders[memory.powder];
    const target = into === 'powder' && own !== undefined ? own : gun.level;
    const variance = cov[gun.leak * n + gun.leak]!;
    moveQuantity(pool.gaussian, target, -mean[gun.leak]!, [gun.leak], [-1], 0);
    resetQuantity(pool.gaussian, gun.leak, 0, Math.min(variance, 0.003 ** 2));
  }
  memory.step = null;
}
