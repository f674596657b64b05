import {
  addQuantity,
  decayQuantity,
  emptyGaussian,
  type GaussianState,
  linearForm,
  varianceOf,
} from './gaussian-state.ts';
import { followPattern, type LinePattern, newLinePattern } from './line-pattern.ts';
import { observeAll } from './observe-all.ts';
import { logUnitFlow } from './unit-flow.ts';

/**
 * The conveying line from its pressure tap to the pump: filter, then motive nozzle. Learnt per gun: the nozzle's
 * sonic conductance C and critical ratio b, what the filter has lost since it was last new, and a nuisance of gauge
 * and weather that comes and goes.
 */
export interface MotiveLine {
  gaussian: GaussianState;
  time: number;
  blocks: number;
  hours: number;
  /** Usual absolute pressure at the tap, bar, at which the filter's loss is told. */
  usual: number;
  /** How much the flow lately answered to the pressure behind the nozzle, d ln q / d ln p2 without sign: 0 when choked. */
  openness: number;
  /** Hours at which the conductance was last opened, and ln of what the line then came to pass at its usual pressure: what a drifting gain is told against. */
  openedAt: number;
  settled: number;
  /** What the belief about the filter came to, below 0, once a dirty one that the line was learnt with was changed: there it is new. */
  clean: number;
  /** Conductance (ln), critical ratio and a new filter's share while the line was sound last; null before. */
  sound: [number, number, number] | null;
  pattern: LinePattern;
}

const CONDUCTANCE = 0;
const CRITICAL = 1;
const FILTER = 2;
const NUISANCE = 3;
const BASE = 4;
const BACK = 5;
const HOUR = 3_600_000;

/** From m3/h at DIN 1343 to dm3/s ANR. Source: handbook section 3 (1.0874) and 3.6 m3/h per dm3/s. */
const ANR_DM3_S_PER_NM3_H = 1.0874 / 3.6;
/** Suction chamber against the atmosphere. Source: handbook "often below atmosphere"; the share is own choice. */
const SUCTION = 0.97;

const PRIOR = {
  conductance: 0.5,
  critical: { mean: 0.4, sd: 0.06 },
  /** Share of the usual pressure that a new filter takes. */
  base: { mean: 0.04, sd: 0.03 },
  /** ln of the suction chamber's pressure against what is taken for it: hose, powder and air move it by the hour. */
  back: { sd: 0.03, hours: 6 },
  /** Random walk over one spray hour: 25 % in 60 h is a quick filter. Source: own choice. */
  filterPerHour: 0.008,
  nuisance: { sd: 0.006, hours: 100 },
  block: 0.005,
};

/** Information on the pressure behind the nozzle, over that of what is believed beforehand, from which readings say something. Source: own choice. */
const LEAST_SAID = 0.1;
/** ln of what a line passes beyond what it did, from which another reason than its filter is likely. Source: own choice, what gauges and weather do. */
const GAINED = 0.015;
/** Spray hours until nozzle and filter are told apart once the conductance was opened. Source: own choice, some shifts at several settings. */
const SETTLING_HOURS = 6;

export function newMotiveLine(): MotiveLine {
  return {
    gaussian: emptyGaussian(),
    time: 0,
    blocks: 0,
    hours: 0,
    usual: 0,
    openness: 0,
    openedAt: 0,
    settled: 0,
    clean: 0,
    sound: null,
    pattern: newLinePattern(),
  };
}

/**
 * Takes one block in.
 *
 * @param logFlow ln of conveying flow, m3/h DIN 1343
 * @param pressureBar absolute, at the tap
 * @returns the innovation over its deviation: below 0 when less air passes than expected
 */
export function learnMotiveLine(
  line: MotiveLine,
  time: number,
  sprayHours: number,
  logFlow: number,
  pressureBar: number,
  atmosphereBar: number,
): number {
  const { gaussian } = line;
  const observed = logFlow + Math.log(ANR_DM3_S_PER_NM3_H);
  const suction = SUCTION * atmosphereBar;
  if (line.blocks === 0) {
    line.usual = pressureBar;
    line.time = time;
    addQuantity(
      gaussian,
      observed - logUnitFlow(pressureBar * (1 - PRIOR.base.mean), suction, PRIOR.critical.mean),
      PRIOR.conductance ** 2,
    );
    addQuantity(gaussian, PRIOR.critical.mean, PRIOR.critical.sd ** 2);
    addQuantity(gaussian, 0, 1e-8);
    addQuantity(gaussian, 0, PRIOR.nuisance.sd ** 2);
    addQuantity(gaussian, PRIOR.base.mean, PRIOR.base.sd ** 2);
    addQuantity(gaussian, 0, PRIOR.back.sd ** 2);
  }
  const elapsed = Math.max(0, time - line.time);
  const keep = Math.exp(-elapsed / (PRIOR.nuisance.hours * HOUR));
  decayQuantity(gaussian, NUISANCE, keep, (1 - keep * keep) * PRIOR.nuisance.sd ** 2);
  const stays = Math.exp(-elapsed / (PRIOR.back.hours * HOUR));
  decayQuantity(gaussian, BACK, stays, (1 - stays * stays) * PRIOR.back.sd ** 2);
  decayQuantity(gaussian, FILTER, 1, PRIOR.filterPerHour ** 2 * sprayHours);
  line.time = Math.max(line.time, time);
  line.blocks++;
  line.hours += sprayHours;
  const { mean } = gaussian;
  const b = Math.min(Math.max(mean[CRITICAL]!, 0.15), 0.6);
  const flowAt = (critical: number, filter: number, back = mean[BACK]!): number =>
    logUnitFlow(Math.max(pressureBar - filter * line.usual, 0.5 * pressureBar), suction * Math.exp(back), critical);
  const filter = mean[FILTER]! + mean[BASE]!;
  const base = flowAt(b, filter);
  const slopeCritical = (flowAt(b + 0.01, filter) - base) / 0.01;
  const slopeFilter = (flowAt(b, filter + 0.005) - base) / 0.005;
  const slopeBack = (flowAt(b, filter, mean[BACK]! + 0.01) - base) / 0.01;
  line.openness += Math.min(1, Math.max(0.05, sprayHours / 2)) * (Math.abs(slopeBack) - line.openness);
  const linear = observed - base + slopeBack * mean[BACK]! + slopeCritical * mean[CRITICAL]! + slopeFilter * filter;
  const coefficients = [1, slopeCritical, slopeFilter, 1, slopeFilter, slopeBack];
  const deviation = observeAll(gaussian, coefficients, linear, PRIOR.block ** 2, 3);
  if (line.hours - line.openedAt < SETTLING_HOURS) {
    line.settled = passing(line).mean;
    line.clean = mean[FILTER]! < -TELLING_LOSS ? mean[FILTER]! : 0;
  }
  tellPattern(line, observed, pressureBar, atmosphereBar, sprayHours);
  return deviation;
}

/** Loss from which its pattern says anything. Source: own choice, above what weather does. */
const TELLING_LOSS = 0.02;

/** Compares what a block passed with what filter, flow meter and gauge would make of the loss that is believed. */
function tellPattern(
  line: MotiveLine,
  observed: number,
  pressureBar: number,
  atmosphereBar: number,
  sprayHours: number,
): void {
  const { mean } = line.gaussian;
  const loss = mean[FILTER]! - line.clean;
  if (loss < TELLING_LOSS) {
    // What the sound line is like is taken from before: with the loss, nozzle and base are made to fit a filter.
    line.sound = [mean[CONDUCTANCE]!, mean[CRITICAL]!, mean[BASE]! + line.clean];
    return;
  }
  if (line.sound === null) return;
  const [conductance, critical, base] = line.sound;
  const b = Math.min(Math.max(critical, 0.15), 0.6);
  const suction = SUCTION * atmosphereBar;
  const flowAt = (pressure: number, missing: number): number =>
    logUnitFlow(Math.max(pressure - base * line.usual - missing, 0.5 * pressure), suction, b);
  const sound = flowAt(pressureBar, 0);
  const missing = loss * line.usual;
  const ofUsual = (pressureBar - atmosphereBar) / (line.usual - atmosphereBar);
  followPattern(
    line.pattern,
    observed - conductance - sound,
    [
      flowAt(pressureBar, missing) - sound,
      flowAt(line.usual, missing) - flowAt(line.usual, 0),
      flowAt(pressureBar, missing * ofUsual) - sound,
    ],
    sprayHours,
  );
}

/** Share of the pressure that the filter takes more than when it was last new, at the usual pressure. */
export function filterLoss(line: MotiveLine): { mean: number; sd: number } | null {
  const { gaussian } = line;
  if (gaussian.n === 0) return null;
  return { mean: gaussian.mean[FILTER]! - line.clean, sd: Math.sqrt(varianceOf(gaussian, FILTER)) };
}

/** ln of what the line passes at its usual pressure beyond its nozzle's form: conductance and filter are hardly told apart, both together are. */
function passing({ gaussian }: MotiveLine): { mean: number; variance: number } {
  return linearForm(gaussian, [CONDUCTANCE, FILTER, BASE], [1, -1, -1]);
}

/** How much more the line passes, ln, than when its conductance was last learnt; 0 while it is. Null before anything was seen. */
export function lineGain(line: MotiveLine): { mean: number; sd: number } | null {
  if (line.gaussian.n === 0) return null;
  const { mean, variance } = passing(line);
  return { mean: mean - line.settled, sd: Math.sqrt(variance) };
}

/**
 * ln of the pressure behind the nozzle against what is taken for it, as the readings alone say: what hose and gun do to it shows where the
 * nozzle is not choked. Null where they say next to nothing.
 */
export function backPressure({ gaussian }: MotiveLine): { mean: number; sd: number } | null {
  if (gaussian.n === 0) return null;
  const variance = varianceOf(gaussian, BACK);
  const information = 1 / variance - 1 / PRIOR.back.sd ** 2;
  if (information * PRIOR.back.sd ** 2 < LEAST_SAID) return null;
  return { mean: gaussian.mean[BACK]! / variance / information, sd: Math.sqrt(1 / information) };
}

/** The filter was changed or cleaned: its loss is open to fall, below what the line was learnt with if that was dirty; a meter that read high before it stays suspected. */
export function openFilter(line: MotiveLine, sd: number): void {
  line.pattern = newLinePattern();
  if (line.gaussian.n === 0) return;
  decayQuantity(line.gaussian, FILTER, 1, sd * sd);
  if (lineGain(line)!.mean < GAINED) line.openedAt = line.hours;
}

/** Nozzle or sensor exchanged, or a step that no filter makes: learn the conductance again. */
export function openConductance(line: MotiveLine, sd: number): void {
  if (line.gaussian.n === 0) return;
  decayQuantity(line.gaussian, CONDUCTANCE, 1, sd * sd);
  line.openedAt = line.hours;
  line.pattern = newLinePattern();
}

/** How far an exchanged flow meter or gauge may read from the one before when that was new, ln flow: where the line was sound, and where it had lost, so that the loss may have been the old one's. Source: own choice, wide; two tolerances of 2 %. */
const EXCHANGED_SD = { sound: 0.1, lost: 0.03 };

/** Flow meter or gauge exchanged: what the line seemed to lose may have been the old one's drift, and is open to go with it. */
export function openMeter(line: MotiveLine): void {
  const loss = filterLoss(line)?.mean ?? 0;
  const lost = loss > TELLING_LOSS;
  const { pattern } = line;
  openConductance(line, lost ? EXCHANGED_SD.lost : EXCHANGED_SD.sound);
  if (!lost) return;
  decayQuantity(line.gaussian, FILTER, 1, loss * loss);
  // What was lost until now is still told by how it went with pressure.
  line.pattern = pattern;
}
