import { hoursKnown } from '../baseline/gun-memory.ts';
import { agree } from './agree.ts';
import { type Candidate, clear, findOpen, type Judgement, type OpenFinding, raise, update } from './finding-book.ts';
import { judgeFurther, withoutFurther } from './further-leak.ts';
import { causeInWords, wasOrWere } from './in-words.ts';
import { judgeGain } from './judge-gain.ts';
import { ALONE } from './loss-alone.ts';
import { noteHealed } from './silent-change.ts';
import type { Bench } from './site-view.ts';
import { inProof, judgeTried, notCuredBy, stepCandidates, usualCost } from './step-candidates.ts';
import { dropStep, endStep, judgeReturn, settleOrEnd } from './step-end.ts';
import { isFading, isOver } from './step-over.ts';
import { lossInWords, PULSES, pulsesSurely, type StepSigns, stepSigns } from './step-signs.ts';
import { supplyFinding, supplyTroubled } from './supply-trouble.ts';
import { isUnreadLeak } from './unread-leak.ts';

/** Spray hours after which a step that no cause explains is taken for a new normal. Source: own choice. */
const SETTLE_HOURS = 4;

/** Looks at a step that a chart noticed: which cause, raise, settle, or clear when it is gone. */
export function judgeStep(bench: Bench): void {
  const { memory, book, now } = bench;
  if (judgeGain(bench)) return;
  const open = findOpen(book, memory.id, 'step');
  const step = memory.step;
  if (step === null) return;
  if (supplyTroubled(book, memory, now)) {
    judgeInTrouble(bench, open);
    return;
  }
  const signs = stepSigns(bench);
  const age = memory.sprayHours - step.atHours;
  if (step.upward) {
    judgeReturn(bench, signs, age);
    return;
  }
  step.peak = Math.max(step.peak, signs.loss);
  for (const change of step.tried) change.lossBefore ??= step.last;
  step.last = signs.loss;
  if (age > NAMED_HOURS) step.pulsed ??= pulsesBeyondDoubt(signs);
  judgeTried(memory, signs);
  const candidates = stepCandidates(memory, withoutFurther(signs, step));
  const none = candidates.find(({ cause }) => cause === '')!.probability;
  const named = candidates.filter(({ cause }) => cause !== '').sort((a, b) => b.probability - a.probability);
  if (open !== undefined) judgeOpen(bench, open, signs, named, none);
  else if (agree(bench, (own) => isSeals(own, signs, named, age) || isPowder(own, signs, named, age)))
    raiseStep(bench, signs, named);
  else if (age > SETTLE_HOURS) settleOrEnd(bench, signs, named[0]!.cause === 'powder' || step.powderChange);
}

/** A finding that was raised so long before the air of its line was found in trouble may have been that already, ms. Source: own choice, what guns take to tell. */
const TOGETHER_MS = 2 * 3_600_000;

/** While the supply air is in trouble nothing is said against a part, and what was said just before is taken back. */
function judgeInTrouble(bench: Bench, open: OpenFinding | undefined): void {
  const { memory, book, now, told } = bench;
  const trouble = supplyFinding(book, memory.id);
  const began = trouble?.onset ?? memory.supply.lowSince;
  if (began - memory.step!.noticed > TOGETHER_MS) return;
  if (open === undefined) dropStep(bench);
  else if (trouble !== undefined) {
    clear(book, open, now, memory.sprayHours, 'the supply air of several guns fell at the same time: no part', told);
    dropStep(bench);
  }
}

function judgeOpen(bench: Bench, open: OpenFinding, signs: StepSigns, named: readonly Candidate[], none: number): void {
  const { memory, book, now, told } = bench;
  if (isOver(bench, signs, none)) {
    noteHealed(bench, open, signs);
    clear(book, open, now, memory.sprayHours, 'the signal is back where it was before the step', told);
    endStep(bench);
    return;
  }
  judgeFurther(bench, open, signs);
  if (open.cleared !== null || inProof(memory) || isFading(bench, signs)) return;
  const candidates = openCandidates(named, none);
  const own = candidates.find(({ cause }) => cause === open.cause)?.probability ?? 0;
  if (own >= LISTED) {
    update(open, judgement(bench, withoutFurther(signs, memory.step!), candidates, open), now, memory.sprayHours, told);
    return;
  }
  // A finding is known by its cause: when that is ruled out it ends, and what took its place begins, where that is likely itself.
  const { cause: instead, probability } = candidates[0]!;
  if (probability < SURE.alone || (instead === 'powder' && !isPowder(bench, signs, named, Number.POSITIVE_INFINITY))) {
    clear(book, open, now, memory.sprayHours, `the evidence speaks no more for ${causeInWords(open.cause)}`, told);
    settleOrEnd(bench, signs, instead === 'powder');
    return;
  }
  clear(
    book,
    open,
    now,
    memory.sprayHours,
    `the evidence speaks for ${causeInWords(instead)} now, and no more for ${causeInWords(open.cause)}`,
    told,
  );
  raiseStep(bench, signs, candidates);
}

/** Probability below which a cause is a candidate no more. Source: contract section 6. */
const LISTED = 0.02;

/** Candidates of a finding that is open: that nothing is wrong is not among them, and weighs no more than half. */
function openCandidates(named: readonly Candidate[], none: number): Candidate[] {
  const share = Math.max(1 - none, 0.5) / Math.max(1 - none, 1e-6);
  return named.map(({ cause, probability }) => ({ cause, probability: probability * share }));
}

/** Probability that parts together need, both seals of them, and the likeliest seals where ripple does not speak. Source: own choice. */
const SURE = { parts: 0.75, seals: 0.6, alone: 0.5 };
/** Rise of ripple (ln) and deviations by which it speaks alone, where the output is blind. Source: own choice, half as much again and beyond doubt. */
const PULSES_ALONE = { rise: 0.4, deviations: 4 };
/** Blocks of other powders that have to give as little. Source: own choice, an hour or so. */
const ELSEWHERE_BLOCKS = 3;
/** Loss of air (ln) beyond which it is no seal's where ripple does not say so: a box, a curve not known there. Source: own choice, twice the largest seal steps of 15 %. */
const MOST_ALONE = 0.3;
/** Spray hours from which a gun's curve is known well enough to tell a leak from a setting not seen before. Source: own choice, one shift, and four. */
const KNOWN_HOURS = { pulsing: 2.5, alone: 10 };
/** With ripple it is the size of the loss that tells pump from gun seals: wait until it is known (ln air), but not long. */
const NAMED_SD = 0.018;
const NAMED_SURE = 0.75;
export const NAMED_HOURS = 0.6;

const pulsesBeyondDoubt = ({ ripple, rippleSd }: StepSigns): boolean =>
  ripple !== null && ripple > Math.max(PULSES_ALONE.rise, PULSES_ALONE.deviations * rippleSd);

/** True when seals are beyond doubt, and cost so much air that a visit is worth it. */
function isSeals(bench: Bench, signs: StepSigns, named: readonly Candidate[], age: number): boolean {
  const lead = named[0]!;
  if (!lead.cause.endsWith('-seals') || hoursKnown(bench.memory) < KNOWN_HOURS.pulsing) return false;
  const parts = named.filter(({ cause }) => cause !== 'powder').reduce((sum, { probability }) => sum + probability, 0);
  if (parts < SURE.parts) return false;
  if (signs.unread !== null) return isUnreadLeak(bench, signs.loss / signs.elasticity, signs.unread);
  const seals = named
    .filter(({ cause }) => cause.endsWith('-seals'))
    .reduce((sum, { probability }) => sum + probability, 0);
  const air = signs.loss / signs.elasticity;
  const airSd = signs.lossSd / signs.elasticity;
  const worth = Math.log1p(bench.tunablesOf(lead.cause).smallestChange);
  if (signs.ripple === null) {
    // A set output lags: weeks of an operator's hand look like a small leak.
    if (hoursKnown(bench.memory) < KNOWN_HOURS.alone) return false;
    const set = bench.gun.output === 'setpoint';
    const lasts = age >= (set ? ALONE.setHours : ALONE.hours);
    const least = air - (set ? ALONE.setDeviations : ALONE.deviations) * airSd;
    // What comes with a powder is that powder's, unless seals went back in then, until others give as little.
    const { powderChange, refitOdds, elsewhere } = bench.memory.step!;
    if (powderChange && refitOdds === 1 && elsewhere < ELSEWHERE_BLOCKS) return false;
    // Where the powder is not read every powder looks like a leak: what comes back tells them apart there (`noticeUnread`).
    if (air > MOST_ALONE || bench.memory.powder === '') return false;
    return lasts && seals > SURE.seals && air > worth && least > 0.6 * worth;
  }
  if (seals < SURE.seals || !pulsesSurely(signs)) return false;
  const beyondDoubt = pulsesBeyondDoubt(signs);
  if (signs.blind) return beyondDoubt;
  // Half of what is worth a visit: leaks at the gun's base cost less, and pulse all the same.
  // What a hand hides is not known, nor what a leak costs that comes with a new insert: there ripple tells, where the loss may be worth it.
  const hidden = bench.gun.output === 'setpoint' || beyondDoubt ? airSd : 0;
  const settled = (airSd < NAMED_SD && lead.probability > NAMED_SURE) || age > NAMED_HOURS;
  if (settled && air + hidden > 0.5 * worth) return true;
  // What pulses and costs nothing would be the new normal next, and leaks cost something: a gain at the same time hides it.
  const pulsesOn = beyondDoubt && bench.memory.step!.pulsed === true && age > SETTLE_HOURS;
  return pulsesOn && air < airSd && usualCost(lead.cause) > 0.5 * worth;
}

/** Loss of air from which a powder or its lot is not as it should be: beyond what normal lots do. Source: handbook section 4, ±6 %. */
const BAD_LOT_AIR = 0.06;
const POWDER = { sure: 0.7, deviations: 2 };

/** True when the powder is beyond doubt: the loss came with it, or several guns had it. */
function isPowder(bench: Bench, signs: StepSigns, named: readonly Candidate[], age: number): boolean {
  const lead = named[0]!;
  const step = bench.memory.step!;
  if (lead.cause !== 'powder' || lead.probability < POWDER.sure || age < ALONE.hours) return false;
  if (hoursKnown(bench.memory) < KNOWN_HOURS.alone) return false;
  if (bench.memory.powder === '' || (!step.powderChange && !step.common)) return false;
  const worth = Math.max(bench.tunablesOf('powder').smallestChange, BAD_LOT_AIR);
  return (signs.loss - POWDER.deviations * signs.lossSd) / signs.elasticity > Math.log1p(worth);
}

function raiseStep(bench: Bench, signs: StepSigns, named: readonly Candidate[]): void {
  const { memory, book, now, told } = bench;
  if (memory.step!.size === 0) memory.step!.size = signs.loss;
  raise(
    book,
    {
      gun: memory.id,
      cause: named[0]!.cause,
      subject: 'step',
      onset: memory.step!.onset,
      now,
      sprayHours: memory.sprayHours,
    },
    judgement(bench, signs, named),
    told,
  );
}

/** Share of the limit below which what was past it is so no more. Source: own choice, so that it does not chatter. */
const LIMIT_BACK = 0.9;

/** A finding keeps its cause, and with it its category: what else may be behind it is told by the candidates. */
function judgement(bench: Bench, signs: StepSigns, named: readonly Candidate[], open?: OpenFinding): Judgement {
  const { memory } = bench;
  const step = memory.step!;
  const cause = open?.cause ?? named[0]!.cause;
  const pulses = signs.ripple !== null && signs.ripple > PULSES;
  // A leak costs air: where it pulses and no loss is seen, what it costs is not known.
  const excessAir = signs.blind || (pulses && signs.loss < 0) ? null : Math.expm1(signs.loss / signs.elasticity);
  const limit =
    bench.tunablesOf(cause).changeLimitExcessAir * (open?.category === 'out-of-specification' ? LIMIT_BACK : 1);
  const past = cause === 'powder' || (excessAir !== null && excessAir > limit);
  const evidence = [];
  if (!signs.blind && signs.loss > 0) evidence.push(lossInWords(signs, step));
  if (signs.ripple !== null)
    evidence.push(
      pulses
        ? `conveying air pulses: ripple is ${Math.exp(signs.ripple).toFixed(1)} times what it was`
        : 'conveying air does not pulse more than before',
    );
  for (const part of notCuredBy(memory))
    evidence.push(`${causeInWords(part)} ${wasOrWere(part)} changed and the signal did not come back`);
  return {
    category: past ? 'out-of-specification' : 'maintenance-required',
    candidates: named,
    excessAir,
    remaining: null,
    evidence,
  };
}
