import type { StepCase } from '../baseline/step-case.ts';
import type { Bench } from './site-view.ts';
import { pulsesNoMore, type StepSigns } from './step-signs.ts';

/** Loss (ln output) up to which the signal is back: this share of the largest, and not less than shifts do. Source: own choice. */
const BACK = { loss: 0.03, share: 0.3, sd: 0.05 };
/** Share of the loss it was raised at that has to come back with a change of a part, and the spray hours for which that has to last. Source: own choice, most of it, some five blocks. */
const CURE = { share: 0.6, hours: 0.7 };
/** Probability from which nothing of the step is left, and for how many spray hours. Source: own choice. */
const GONE = { probability: 0.8, hours: 1.2 };

/** True when the loss has come back, by itself or with a change, or when nothing speaks for it any more. */
export function isOver({ memory }: Bench, signs: StepSigns, none: number): boolean {
  const step = memory.step!;
  if (isBack(signs, step) && (signs.lossSd < BACK.sd || signs.blind)) return true;
  if (signs.blind) return false;
  // Leak and insert may have changed together, and then only what came back with the change is known.
  const change = step.tried.at(-1);
  const cured =
    change !== undefined &&
    pulsesNoMore(signs) &&
    change.lossBefore! - signs.loss > CURE.share * Math.max(step.size, BACK.loss);
  if (!cured && none < GONE.probability) {
    step.calmFrom = 0;
    return false;
  }
  if (step.calmFrom === 0) step.calmFrom = memory.sprayHours;
  return memory.sprayHours - step.calmFrom >= (cured ? CURE.hours : GONE.hours);
}

/** True when little is left of the loss, and the air does not pulse. */
function isBack(signs: StepSigns, step: StepCase): boolean {
  return signs.loss < Math.max(BACK.loss, BACK.share * step.peak) && pulsesNoMore(signs);
}

/** Spray hours for which a loss that is coming back is not diagnosed anew. Source: own choice, three times what it takes to be sure that nothing is left. */
const FADING_HOURS = 4;

/**
 * True while the loss is coming back, with a change or by itself: what is left of it says less of its cause than what was seen
 * while it was there, and by that the finding is known when it is over.
 */
export function isFading({ memory }: Bench, signs: StepSigns): boolean {
  const step = memory.step!;
  if (step.calmFrom === 0 && !isBack(signs, step)) {
    step.fadingFrom = 0;
    return false;
  }
  if (step.fadingFrom === 0) step.fadingFrom = memory.sprayHours;
  return memory.sprayHours - step.fadingFrom < FADING_HOURS;
}
