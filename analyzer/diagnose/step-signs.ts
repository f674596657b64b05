import { usualElasticity } from '../baseline/excess-air.ts';
import { linearForm } from '../baseline/gaussian-state.ts';
import { backPressure } from '../baseline/motive-line.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { driftOf } from '../baseline/steady-level.ts';
import type { StepCase } from '../baseline/step-case.ts';
import { leakIn } from '../baseline/unread-powder.ts';
import { percentOf } from './in-words.ts';
import type { Bench } from './site-view.ts';

/** What a gun shows of its present step. */
export interface StepSigns {
  /** Loss of pumping effect (ln output) and its deviation. */
  readonly loss: number;
  readonly lossSd: number;
  /** A loss over this is ln of the air that it costs. */
  readonly elasticity: number;
  /** Rise of ripple (ln) and its deviation; null where ripple is not fitted. */
  readonly ripple: number | null;
  readonly rippleSd: number;
  /** ln of the pressure behind the motive nozzle against the usual; null where the nozzle is choked, or next to it. */
  readonly back: { readonly mean: number; readonly sd: number } | null;
  /** The gun's output tells nothing of a loss: only ripple does. */
  readonly blind: boolean;
  /** Where neither powder nor ripple is read: probability that anything leaks at all; null elsewhere. */
  readonly unread: number | null;
}

/** With a set output: how large a loss may still be hidden, and how long operators take to answer it. Source: own choice. */
const HIDDEN_SD = 0.15;
const HIDDEN_HOURS = 1.5;
/** What is left of it for good: an operator's hand and eye, in ln output. Source: own choice, as the notch of PRIORS. */
const HAND_SD = PRIORS.notch.sd;

/** Signs of the present step, as believed now. */
export function stepSigns(bench: Bench): StepSigns {
  const gun = bench.gun.output === 'coupled' ? undefined : bench.pool.guns[bench.memory.id];
  const { step, sprayHours, unread } = bench.memory;
  const leak = step?.unread === true ? leakIn(unread!) : null;
  // Without an output of its own the gun tells nothing of a loss.
  const loss =
    gun === undefined
      ? { mean: 0, variance: HIDDEN_SD ** 2 }
      : leak !== null
        ? { mean: leak.mean, variance: leak.sd ** 2 }
        : linearForm(bench.pool.gaussian, [gun.leak], [1]);
  const ripple = driftOf(bench.memory.ripple);
  const back = backPressure(bench.memory.conveying);
  // A set output hides a loss until the operator has turned the air up.
  const hidden =
    bench.gun.output === 'setpoint' && step !== null && leak === null
      ? Math.hypot(HIDDEN_SD * Math.exp(-(sprayHours - step.atHours) / HIDDEN_HOURS), HAND_SD)
      : 0;
  return {
    loss: loss.mean,
    lossSd: Math.hypot(Math.sqrt(loss.variance), hidden),
    elasticity: usualElasticity(bench.pool, bench.memory.id),
    ripple: ripple === null ? null : ripple.mean,
    rippleSd: ripple === null ? 0 : ripple.sd,
    back,
    blind: gun === undefined,
    unread: leak === null ? null : leak.probability,
  };
}

/** Rise of ripple (ln) above which conveying air pulses, and below which it does so no more. Source: own choice, three and five deviations of ripple's usual swing of 0.05. */
export const PULSES = 0.15;
const CALM = 0.25;

/** True when ripple, where fitted, is about what it was before the step. */
export function pulsesNoMore({ ripple }: StepSigns): boolean {
  return ripple === null || ripple < CALM;
}

/** Deviations by which ripple has to have risen. Source: own choice: ripple's usual swing passes for a little pulsing now and then. */
const PULSES_SURELY = 2.5;

/** True when ripple is fitted and has risen beyond its usual swing, so that something leaks. */
export function pulsesSurely(signs: StepSigns): boolean {
  return signs.ripple !== null && !pulsesNoMore(signs) && signs.ripple >= PULSES_SURELY * signs.rippleSd;
}

/** Loss (ln) that rounds to no percent. */
const NO_PERCENT = 0.005;

/** The loss of a step as a sentence for a fitter. */
export function lossInWords(
  { loss, unread }: StepSigns,
  { refitOdds, powderChange }: Pick<StepCase, 'refitOdds' | 'powderChange'>,
): string {
  if (loss < NO_PERCENT) return 'output for the same air is as before';
  const share = percentOf(-Math.expm1(-loss));
  const refit = refitOdds > 1 ? ', after a refit' : '';
  if (unread !== null)
    return `output for the same air fell by ${share}${refit}, and stays below what this gun’s powders gave, which are not read`;
  return `output for the same air fell by ${share} at once${refit || (powderChange ? ', at a change of powder' : ', with no change of powder')}`;
}
