import type { Found } from '../../collector/contract/index.ts';
import { normalCdf } from '../stats/normal.ts';

/**
 * What is believed of the excess air at which a gun's insert has to go, as weights on a grid of ln(excess air).
 * It starts at the settings' value and is taught by what the log says was found at which excess.
 */
const LOWEST = Math.log(0.04);
const STEP = 0.08;
const POINTS = 36;
/** How far guns' limits lie from the settings' value, ln. Source: own choice, about ±30 %. */
const SPREAD = 0.28;
/** Found 'good' below this share of the limit, 'failed' above that one, by eye and gauge: ln, and the error of the eye. Source: own choice, so that 'worn' is about the limit. */
const GOOD_BELOW = Math.log(0.82);
const FAILED_ABOVE = Math.log(1.15);
const EYE = 0.18;

/** Mean and deviation of ln(limit as excess air). */
export interface LimitBelief {
  readonly log: number;
  readonly sd: number;
}

/** Beliefs that were worked out since the log last taught something, with the setting that they start from. */
const beliefs = new WeakMap<readonly number[], { readonly setting: number; readonly belief: LimitBelief }>();

const weights = new Float64Array(POINTS);
let priorOf = { setting: Number.NaN, weights: new Float64Array(POINTS) };

/** Log weights of the grid before the log taught anything; kept, because one setting is asked for again and again. */
function prior(setting: number): Float64Array {
  if (priorOf.setting !== setting) {
    const centre = Math.log(setting);
    const fresh = Float64Array.from({ length: POINTS }, (_, i) => -0.5 * ((LOWEST + i * STEP - centre) / SPREAD) ** 2);
    priorOf = { setting, weights: fresh };
  }
  return priorOf.weights;
}

/**
 * Learns from one insert that was taken out or looked at.
 *
 * @param taught log weights so far relative to the prior; empty before the first; changed in place
 * @param logExcess ln of the excess air (as a share) at which it was found so
 * @param sd its deviation
 */
export function teachLimit(taught: number[], found: Found, logExcess: number, sd: number): void {
  beliefs.delete(taught);
  if (taught.length === 0) for (let i = 0; i < POINTS; i++) taught.push(0);
  const error = Math.hypot(EYE, Math.min(sd, 2));
  for (let i = 0; i < POINTS; i++) {
    const ratio = logExcess - (LOWEST + i * STEP);
    const good = normalCdf((GOOD_BELOW - ratio) / error);
    const failed = 1 - normalCdf((FAILED_ABOVE - ratio) / error);
    const chance = found === 'good' ? good : found === 'failed' ? failed : Math.max(1 - good - failed, 0);
    taught[i] = taught[i]! + Math.log(0.03 + 0.97 * chance);
  }
}

/** The limit as believed now. */
export function limitBelief(taught: readonly number[], setting: number): LimitBelief {
  const known = beliefs.get(taught);
  if (known?.setting === setting) return known.belief;
  const belief = reckonBelief(taught, setting);
  beliefs.set(taught, { setting, belief });
  return belief;
}

function reckonBelief(taught: readonly number[], setting: number): LimitBelief {
  const before = prior(setting);
  let top = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < POINTS; i++) {
    weights[i] = before[i]! + (taught[i] ?? 0);
    if (weights[i]! > top) top = weights[i]!;
  }
  let total = 0;
  let mean = 0;
  let square = 0;
  for (let i = 0; i < POINTS; i++) {
    const weight = Math.exp(weights[i]! - top);
    const at = LOWEST + i * STEP;
    total += weight;
    mean += weight * at;
    square += weight * at * at;
  }
  mean /= total;
  return { log: mean, sd: Math.sqrt(Math.max(square / total - mean * mean, 1e-4)) };
}
