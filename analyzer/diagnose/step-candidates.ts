import type { GunMemory } from '../baseline/gun-memory.ts';
import type { StepCase } from '../baseline/step-case.ts';
import type { Candidate } from './finding-book.ts';
import { pulsesNoMore, type StepSigns } from './step-signs.ts';

/** What one cause of a step looks like: ln of the air that it costs and of the rise of ripple, mean and deviation. */
interface Look {
  readonly cause: string;
  readonly odds: number;
  readonly loss: readonly [number, number];
  readonly ripple: readonly [number, number];
  /** ln of the pressure behind the motive nozzle. */
  readonly back: readonly [number, number];
}

/**
 * Looks of the causes of a sudden loss; '' is none. Handbook section 2: ripple up for seals, at the gun's base with a smaller
 * rise of air; little for the insert, none for powder and a kinked hose. Sizes and odds are own choice, wide; a leak at
 * the pump pulses next to the pressure tap, one at the gun's base behind a hose that damps it.
 */
const LOOKS: readonly Look[] = [
  { cause: 'pump-seals', odds: 0.4, loss: [0.095, 0.04], ripple: [1, 0.45], back: [0, 0.03] },
  { cause: 'gun-seals', odds: 0.12, loss: [0.045, 0.03], ripple: [0.7, 0.4], back: [-0.02, 0.02] },
  { cause: 'powder-hose', odds: 0.05, loss: [0.08, 0.05], ripple: [0.05, 0.15], back: [0.06, 0.05] },
  { cause: 'pump-insert', odds: 0.03, loss: [0.08, 0.05], ripple: [0.05, 0.1], back: [0, 0.03] },
  { cause: 'powder', odds: 0.3, loss: [0.0, 0.07], ripple: [0, 0.07], back: [0, 0.03] },
  { cause: '', odds: 0.6, loss: [0, 0.02], ripple: [0, 0.07], back: [0, 0.03] },
];

/**
 * Factors on the odds of a cause for what happened at the same time. Source: own choice; handbook section 2 says "often at a refit"
 * for pump seals and "hose changes" for those at the gun's base, section 3 "what moves on several guns at the same time is no part".
 */
const WITH = { hoseWork: 4, powderChange: 3, noPowderChange: 0.5, commonPowder: 8, commonPart: 0.3 };
/** Factor on powder for each block of another powder that gives as little as the one in use when it began, and how many count. Source: own choice, three to one. */
const ELSEWHERE = { factor: 1 / 3, blocks: 6 };
/** Factor on a part that was changed in vain, and the most of the likeliest other part that it may keep. Source: own choice: new parts that leak too are few. */
const IN_VAIN = { factor: 0.1, share: 0.5 };

/**
 * Rise of the pressure behind the nozzle (ln) and deviations without which a hose is not among the two likeliest parts, and the most of the second that
 * it then has. Source: handbook section 2, a hose is "seen at low pressure"; figures are own choice.
 */
const KINKED = { rise: 0.02, deviations: 1.64, share: 0.9 };

function isKinked({ back }: StepSigns): boolean {
  return back !== null && back.mean > KINKED.rise && back.mean > KINKED.deviations * back.sd;
}

const isPartOf = (cause: string): boolean => cause !== '' && cause !== 'powder';

/** Probabilities of the causes of the present step; '' is none. They add up to 1. */
export function stepCandidates(memory: GunMemory, signs: StepSigns): Candidate[] {
  const step = memory.step!;
  const tried = notCuredBy(memory);
  const scored = LOOKS.map((look) => {
    let weight =
      look.odds *
      density(signs.loss / signs.elasticity, look.loss, signs.lossSd / signs.elasticity) *
      contextOf(look.cause, step);
    if (signs.ripple !== null) weight *= density(signs.ripple, look.ripple, signs.rippleSd);
    if (signs.back !== null) weight *= density(signs.back.mean, look.back, signs.back.sd);
    return { cause: look.cause, weight: tried.includes(look.cause) ? weight * IN_VAIN.factor : weight };
  });
  const others = scored.filter(({ cause }) => isPartOf(cause) && !tried.includes(cause));
  const most = IN_VAIN.share * Math.max(...others.map(({ weight }) => weight));
  const [, second = 0] = others
    .flatMap(({ cause, weight }) => (cause === 'powder-hose' ? [] : [weight]))
    .sort((a, b) => b - a);
  const hose = isKinked(signs) ? Number.POSITIVE_INFINITY : KINKED.share * second;
  const weights = scored.map(({ cause, weight }) => {
    if (cause === 'powder-hose') return Math.min(weight, hose);
    return tried.includes(cause) ? Math.min(weight, most) : weight;
  });
  if (signs.unread !== null) return shareOut(scored, weights, signs.unread);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return scored.map(({ cause }, i) => ({ cause, probability: weights[i]! / total }));
}

/** Where powder and leak were told apart beforehand, what is left is which part leaks. */
function shareOut(scored: readonly { cause: string }[], weights: readonly number[], leaks: number): Candidate[] {
  let parts = 0;
  for (let i = 0; i < weights.length; i++) if (isPartOf(scored[i]!.cause)) parts += weights[i]!;
  return scored.map(({ cause }, i) => {
    if (cause === '') return { cause, probability: 1 - leaks };
    return { cause, probability: isPartOf(cause) ? (leaks * weights[i]!) / parts : 0 };
  });
}

/** ln of the air that a cause costs, where it is not seen. */
export const usualCost = (cause: string): number => LOOKS.find((look) => look.cause === cause)!.loss[0];

/** How well seals explain a loss and a rise of ripple (ln), their own odds included. */
export function sealsLook(cause: string, signs: StepSigns, loss: number, ripple: number): number {
  const look = LOOKS.find((one) => one.cause === cause)!;
  return (
    look.odds *
    density(loss / signs.elasticity, look.loss, (Math.SQRT2 * signs.lossSd) / signs.elasticity) *
    density(ripple, look.ripple, Math.SQRT2 * signs.rippleSd)
  );
}

function density(x: number, [mean, sd]: readonly [number, number], error: number): number {
  const spread = Math.hypot(sd, error);
  return Math.exp(-0.5 * ((x - mean) / spread) ** 2) / spread;
}

function contextOf(cause: string, { refitOdds, hoseWork, powderChange, common, elsewhere }: StepCase): number {
  if (cause === '') return 1;
  if (cause === 'powder') {
    const coincidence = (powderChange ? WITH.powderChange : WITH.noPowderChange) * (common ? WITH.commonPowder : 1);
    return coincidence * ELSEWHERE.factor ** Math.min(elsewhere, ELSEWHERE.blocks);
  }
  let weight = common ? WITH.commonPart : 1;
  if (cause === 'pump-seals') weight *= refitOdds;
  if (cause === 'gun-seals' && hoseWork) weight *= WITH.hoseWork;
  return weight;
}

/** Spray hours after a change from which the signal tells whether it cured. Source: own choice, some ten blocks. */
const PROOF_HOURS = 1.5;
/**
 * Shares of the step's largest loss: what has to be left for a change to have been in vain, and what may be left for that to be taken back: what is believed of
 * a loss moves by some percent from shift to shift, and a diagnosis must not turn with it. Source: own choice, either side of half.
 */
const LEFT_SHARE = { inVain: 0.6, cured: 0.4 };

/** Looks whether parts that were changed while the step lasted have brought the signal back. */
export function judgeTried(memory: GunMemory, signs: StepSigns): void {
  const step = memory.step!;
  for (const change of step.tried) {
    if (memory.sprayHours - change.atHours <= PROOF_HOURS) continue;
    const share = change.inVain === true ? LEFT_SHARE.cured : LEFT_SHARE.inVain;
    change.inVain = signs.blind ? !pulsesNoMore(signs) : signs.loss >= share * step.peak;
  }
}

/** Parts that were changed while the step lasted and whose change did not bring the signal back. */
export function notCuredBy(memory: GunMemory): string[] {
  return memory.step!.tried.filter(({ inVain }) => inVain === true).map(({ part }) => part);
}

/** True while a change has been made whose effect cannot be told yet. */
export function inProof(memory: GunMemory): boolean {
  const last = memory.step!.tried.at(-1);
  return last !== undefined && memory.sprayHours - last.atHours <= PROOF_HOURS;
}
