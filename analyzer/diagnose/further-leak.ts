import type { FurtherLeak, StepCase } from '../baseline/step-case.ts';
import {
  bringUpToDate,
  type Candidate,
  clear,
  findOpen,
  type Judgement,
  type OpenFinding,
  raise,
  update,
} from './finding-book.ts';
import { causeInWords } from './in-words.ts';
import type { Bench } from './site-view.ts';
import { sealsLook } from './step-candidates.ts';
import type { StepSigns } from './step-signs.ts';

/** What a second leak of a gun is about in the book, beside `step` for the first. */
const SUBJECT = 'further-leak';
/** Rise of ripple (ln) and deviations from which air pulses once more, spray hours after which it is told and after which it is given up. Source: own choice, as for a first leak where ripple speaks alone. */
const RISE = { least: 0.35, deviations: 4, hours: 0.4, longest: 1.5 };
/** Share of that rise below which one of both leaks has ended, and spray hours for which it has to stay so. Source: own choice. */
const FALL = { share: 0.4, hours: 0.4 };
/** That the seals which leak already leak more, for one that the others leak now. Source: own choice. */
const SAME = 0.15;
const SEALS = ['pump-seals', 'gun-seals'] as const;

/** Ripple rose while a leak is open: seals of another place, perhaps. */
export function noteFurther(
  step: StepCase,
  first: OpenFinding,
  at: Pick<FurtherLeak, 'ripple' | 'loss' | 'onset' | 'atHours'>,
): void {
  bringUpToDate(first);
  step.further ??= { ...at, peak: 0, belowFrom: 0, before: first.candidates.map((one) => ({ ...one })), said: null };
}

/** True for a rise of ripple (ln, with its deviation) that is beyond its swing. */
export function risesOnceMore(rise: number, sd: number): boolean {
  return rise > Math.max(RISE.least, RISE.deviations * sd);
}

/** Follows a second leak beside an open one: raises it, says which of both has ended. */
export function judgeFurther(bench: Bench, first: OpenFinding, signs: StepSigns): void {
  const { memory, book, now, told } = bench;
  const step = memory.step!;
  const { further } = step;
  if (further === undefined || further === null || signs.ripple === null) return;
  const second = findOpen(book, memory.id, SUBJECT);
  const rise = signs.ripple - further.ripple;
  const age = memory.sprayHours - further.atHours;
  if (second === undefined) {
    if (age > RISE.hours && risesOnceMore(rise, signs.rippleSd)) raiseFurther(bench, first, signs, further);
    else if (age > RISE.longest) step.further = null;
    return;
  }
  further.peak = Math.max(further.peak, rise);
  if (rise > FALL.share * further.peak) {
    further.belowFrom = 0;
    update(second, judgementOf(further), now, memory.sprayHours, told);
    return;
  }
  if (further.belowFrom === 0) further.belowFrom = memory.sprayHours;
  if (memory.sprayHours - further.belowFrom < FALL.hours) return;
  const changed = step.tried.filter(({ time }) => time > further.onset).at(-1)?.part;
  const over = changed === first.cause && changed !== second.cause ? first : second;
  clear(book, over, now, memory.sprayHours, 'ripple fell by what this leak had added', told);
  second.subject = over === first ? 'step' : SUBJECT;
  step.further = null;
}

/** Signs of the first leak alone, while a second may add to them. */
export function withoutFurther(signs: StepSigns, { further }: StepCase): StepSigns {
  return further ? { ...signs, ripple: further.ripple, loss: further.loss } : signs;
}

/** With the case that it was found in, a second leak is over too. */
export function endFurther({ memory, book, now, told }: Bench): void {
  const second = findOpen(book, memory.id, SUBJECT);
  if (second !== undefined)
    clear(book, second, now, memory.sprayHours, 'the signal is back where it was before the step', told);
}

function raiseFurther(bench: Bench, first: OpenFinding, signs: StepSigns, further: FurtherLeak): void {
  const { memory, book, now, told } = bench;
  const candidates = whichSeals(signs, further);
  further.peak = signs.ripple! - further.ripple;
  further.said = {
    candidates,
    evidence: [
      `conveying air pulses once more: ripple is ${Math.exp(further.peak).toFixed(1)} times what it was with the leak that was told as ${causeInWords(first.cause)}`,
    ],
  };
  raise(
    book,
    {
      ...{ gun: memory.id, cause: candidates[0]!.cause, subject: SUBJECT, onset: further.onset },
      ...{ now, sprayHours: memory.sprayHours },
    },
    judgementOf(further),
    told,
  );
}

function judgementOf({ said }: FurtherLeak): Judgement {
  return { category: 'maintenance-required', ...said!, excessAir: null, remaining: null };
}

/** Seals of the second leak, likeliest first: mostly not those of the first, whichever those are. */
function whichSeals(signs: StepSigns, further: FurtherLeak): Candidate[] {
  const firstOf = (cause: string): number =>
    further.before.find((candidate) => candidate.cause === cause)?.probability ?? 0.01;
  const weights = SEALS.map((cause) => {
    const own = sealsLook(cause, signs, signs.loss - further.loss, signs.ripple! - further.ripple);
    return own * SEALS.reduce((sum, other) => sum + firstOf(other) * (other === cause ? SAME : 1), 0);
  });
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return SEALS.map((cause, i) => ({ cause, probability: (0.97 * weights[i]!) / total })).sort(
    (left, right) => right.probability - left.probability,
  );
}
