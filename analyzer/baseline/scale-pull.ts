import type { Block } from './block.ts';

/**
 * Pulls of one setting pooled until the scale under the box tells their output: a pull takes some 50 g, a scale shows
 * 10 g and is read now and then. Mass is taken at the start of the first pull and at the start of the pull after the
 * last, so that what the readings lag behind cancels. Part of the pipeline's state.
 */
export interface ScalePull {
  powder: string;
  /** Mass at the first start, kg; -1 before one. */
  mass: number;
  start: number;
  end: number;
  minutes: number;
  runs: number;
  flow: number;
  weight: number;
  /** Share of this gun's pauses, lately, in which the box fell: others draw from it. And how many pauses were seen. */
  drawn: number;
  pauses: number;
  lastMass: number;
}

/** Source: handbook, "Scale" (5 spray minutes); own choice to pool twice that where the setting stays. */
const FEWEST_MINUTES = 5;
const ENOUGH_MINUTES = 10;
/** A setting that differs by more than this in ln is another one. */
const FLOW_SPAN = 0.05;
/** Faster than this no gun empties a box, kg/min. Source: own choice, above the 0.4 kg/min of the largest manual guns. */
const FASTEST = 0.5;
/** A rise by more than this is a refill or reclaimed powder, kg. */
const REFILL = 0.04;
/** Pauses that tell whether others draw from the box, min. */
const PAUSE = { least: 1.5, most: 30 };
/** What the last pull may still take after its last reading, kg. */
const TAIL = 0.03;

export function newScalePull(): ScalePull {
  return {
    powder: '',
    mass: -1,
    start: 0,
    end: 0,
    minutes: 0,
    runs: 0,
    flow: 0,
    weight: 0,
    drawn: 0,
    pauses: 0,
    lastMass: -1,
  };
}

function restart(pull: ScalePull, powder: string, mass: number, time: number): void {
  pull.powder = powder;
  pull.mass = mass;
  pull.start = time;
  pull.end = time;
  pull.minutes = 0;
  pull.runs = 0;
  pull.flow = 0;
  pull.weight = 0;
}

/** True when the box falls while this gun does not spray: it feeds others, and tells of no gun. */
export function isSharedBox(pull: ScalePull): boolean {
  return pull.pauses > 15 && pull.drawn > 0.4;
}

/** Fall in a pause from which another gun must draw, kg/min. Source: own choice, one at 150 g/min a fifth of the time. */
const SHARED_RATE = 0.03;

/**
 * Takes the next pull of a gun in.
 *
 * @param mass weight of the box at its start, kg; NaN when not read
 * @param flow conveying air, m3/h, NaN when the pull was too short to tell
 * @returns a block whose only news are output and air, when enough was sprayed; else null
 */
export function addScalePull(
  gun: string,
  pull: ScalePull,
  powder: string,
  start: number,
  end: number,
  minutes: number,
  mass: number,
  flow: number,
): Block | null {
  let block: Block | null = null;
  if (Number.isFinite(mass)) {
    const pause = (start - pull.end) / 60_000;
    if (pull.lastMass >= 0 && pause > PAUSE.least && pause < PAUSE.most) {
      const fell = pull.lastMass - mass;
      pull.pauses++;
      pull.drawn += ((fell - TAIL > SHARED_RATE * pause ? 1 : 0) - pull.drawn) / Math.min(pull.pauses, 40);
    }
    const drop = pull.mass - mass;
    const odd = drop < -REFILL || drop > FASTEST * (pull.minutes + 0.5);
    if (pull.mass >= 0 && !odd && pull.minutes >= FEWEST_MINUTES && isSameSetting(pull, powder, flow))
      block = pull.minutes >= ENOUGH_MINUTES ? finish(gun, pull, drop) : null;
    else if (pull.mass >= 0 && !odd && pull.minutes >= FEWEST_MINUTES) block = finish(gun, pull, drop);
    if (pull.mass < 0 || odd || block !== null || !isSameSetting(pull, powder, flow))
      restart(pull, powder, mass, start);
  }
  pull.end = end;
  pull.minutes += minutes;
  pull.runs++;
  if (flow > 0.2) {
    pull.flow += minutes * Math.log(flow);
    pull.weight += minutes;
  }
  return block;
}

/** The mass at the end of a pull, for the pause that follows. */
export function noteMass(pull: ScalePull, mass: number): void {
  pull.lastMass = Number.isFinite(mass) ? mass : -1;
}

function isSameSetting(pull: ScalePull, powder: string, flow: number): boolean {
  if (powder !== pull.powder) return false;
  return !(flow > 0.2) || pull.weight === 0 || Math.abs(Math.log(flow) - pull.flow / pull.weight) < FLOW_SPAN;
}

function finish(gun: string, pull: ScalePull, drop: number): Block | null {
  if (!(drop > 0.05) || pull.weight === 0 || isSharedBox(pull)) return null;
  const nothing = Number.NaN;
  return {
    gun,
    powder: pull.powder,
    start: pull.start,
    end: pull.end,
    runs: pull.runs,
    minutes: pull.minutes,
    // The blocks of its settings count what went through.
    kilograms: 0,
    output: Math.log((1000 * drop) / pull.minutes),
    // Rounding and the lag of readings at either end, some 10 g each, and the timing of the pulls.
    outputVariance: (2 * 0.012 ** 2) / drop ** 2 + 0.012 ** 2,
    unsteadiness: nothing,
    flow: pull.flow / pull.weight,
    pressure: nothing,
    supplementary: nothing,
    supplementaryPressure: nothing,
    fluidizing: nothing,
    fluidizingPressure: nothing,
    ripple: nothing,
    rippleVariance: nothing,
    supply: nothing,
    sag: nothing,
    sagRuns: 0,
  };
}
