import {
  addQuantity,
  decayQuantity,
  emptyGaussian,
  type GaussianState,
  resetQuantity,
  varianceOf,
} from './gaussian-state.ts';
import { observeAll } from './observe-all.ts';

/** How a signal that should stay where it is behaves, in the signal's unit (mostly ln). */
export interface SteadyLevelSettings {
  /** Believed level and slope over the setting before anything was seen. */
  readonly levelSd: number;
  readonly slope: { readonly mean: number; readonly sd: number };
  /** Random-walk deviation of the drift over one spray hour: how fast a part may change it. */
  readonly driftPerHour: number;
  /** What comes and goes without a part: deviation and time constant in hours. */
  readonly nuisance: { readonly sd: number; readonly hours: number };
  /** Error of one block that no averaging removes. */
  readonly block: number;
  /** How far powders differ; no such setting where they leave the signal alone. */
  readonly powderSd?: number;
}

/** Belief about one signal: its level, slope over the setting, drift since the last change of its part, and nuisance. */
export interface SteadyLevel {
  gaussian: GaussianState;
  time: number;
  blocks: number;
  hours: number;
  /** Setting at which drift is told: the first blocks' mean. */
  setting: number;
  /** Powders whose own place is followed, in the order of their quantities, and the time of each one's last block. */
  powders: string[];
  powderTimes: number[];
}

const LEVEL = 0;
const DRIFT = 2;
const NUISANCE = 3;
/** Quantities before those of powders. */
const OWN = 4;
/** Powders that are followed at once: one more takes the place of the one that was away for longest. Source: own choice, more than a hall sprays in a month. */
const POWDERS = 24;
const HOUR = 3_600_000;

export function newSteadyLevel(): SteadyLevel {
  return { gaussian: emptyGaussian(), time: 0, blocks: 0, hours: 0, setting: 0, powders: [], powderTimes: [] };
}

/**
 * Takes one block's value in.
 *
 * @param setting what moves the signal lawfully, for example ln pressure
 * @param value the signal, and `variance` of its error
 * @param sprayHours since the last block
 * @param powder in use; only told of where the settings say that powders differ
 * @returns the innovation over its deviation
 */
export function learnSteadyLevel(
  state: SteadyLevel,
  settings: SteadyLevelSettings,
  time: number,
  sprayHours: number,
  setting: number,
  value: number,
  variance: number,
  powder = '',
): number {
  const { gaussian } = state;
  if (state.blocks === 0) {
    state.setting = setting;
    state.time = time;
    addQuantity(gaussian, value, settings.levelSd ** 2);
    addQuantity(gaussian, settings.slope.mean, settings.slope.sd ** 2);
    addQuantity(gaussian, 0, 1e-8);
    addQuantity(gaussian, 0, settings.nuisance.sd ** 2);
  }
  const elapsed = Math.max(0, time - state.time);
  const keep = Math.exp(-elapsed / (settings.nuisance.hours * HOUR));
  decayQuantity(gaussian, NUISANCE, keep, (1 - keep * keep) * settings.nuisance.sd ** 2);
  decayQuantity(gaussian, DRIFT, 1, settings.driftPerHour ** 2 * sprayHours);
  state.time = Math.max(state.time, time);
  state.blocks++;
  state.hours += sprayHours;
  const coefficients = [1, setting - state.setting, 1, 1];
  const place = settings.powderSd === undefined ? -1 : placeOfPowder(state, powder, settings.powderSd);
  for (let i = 0; i < state.powders.length; i++) coefficients.push(i === place ? 1 : 0);
  return observeAll(gaussian, coefficients, value, variance + settings.block ** 2, 3);
}

/** Where a powder's own quantity stands, which is made where it is new. */
function placeOfPowder(state: SteadyLevel, powder: string, sd: number): number {
  const { gaussian, powders, powderTimes, time } = state;
  let place = powders.indexOf(powder);
  if (place < 0 && powders.length < POWDERS) {
    place = powders.push(powder) - 1;
    addQuantity(gaussian, 0, sd * sd);
  } else if (place < 0) {
    place = powderTimes.indexOf(Math.min(...powderTimes));
    powders[place] = powder;
    resetQuantity(gaussian, OWN + place, 0, sd * sd);
  }
  powderTimes[place] = time;
  return place;
}

/** The drift since its part was last changed and its deviation; null before anything was seen. */
export function driftOf(state: SteadyLevel): { mean: number; sd: number } | null {
  const { gaussian } = state;
  if (gaussian.n === 0) return null;
  return { mean: gaussian.mean[DRIFT]!, sd: Math.sqrt(varianceOf(gaussian, DRIFT)) };
}

/** Something may have stepped: the drift is open to a jump of that deviation. */
export function openToStep(state: SteadyLevel, sd: number): void {
  if (state.gaussian.n > 0) decayQuantity(state.gaussian, DRIFT, 1, sd * sd);
}

/** The level itself was moved by a recorded change (another sensor, nozzle or hose): learn it again. */
export function openLevel(state: SteadyLevel, sd: number): void {
  if (state.gaussian.n > 0) decayQuantity(state.gaussian, LEVEL, 1, sd * sd);
}

/** What a signal has lost since its part was last changed, in its own unit (mostly ln); null before anything was seen. */
export function lossOf(state: SteadyLevel): number | null {
  const drift = driftOf(state);
  return drift === null ? null : -drift.mean;
}
