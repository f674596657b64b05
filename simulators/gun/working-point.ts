import { lineFlow, linePressure } from '../physics/air-line.ts';
import { backPressureBar } from '../physics/hose.ts';
import { liftedPowder } from '../physics/throat.ts';
import type { Condition, WorkingPoint } from './condition.ts';
import { type GunSpec, heldSupplementary } from './gun-spec.ts';

/** What surrounds a gun at a moment. */
export interface Surroundings {
  readonly atmosphereBar: number;
  readonly airK: number;
  /** Pumping effect from powder, lot, weather, day, shift. */
  readonly effect: number;
}

/** Settings of a gun: pressures in bar gauge; `totalNm3h` where the unit keeps the total. */
export interface Settings {
  readonly conveyingBar: number;
  readonly supplementaryBar: number;
  readonly fluidizingBar: number;
  readonly totalNm3h: number;
}

/** Suction of the jet, bar for (Nm³/h)²: 0.08 bar at 2.2. Source: own choice, because pumps lift a few hundred mm of bed. */
const SUCTION = 0.0165;
/** Share of the hose's back pressure that is felt in the suction chamber; the diffuser recovers the rest. Source: own choice,
 * because short diffusers recover less than half. */
const BACK_SHARE = 0.6;
/** Pumping effect lost for each bar of back pressure beyond a sound hose's. Source: own choice, because a kink costs a tenth or two. */
const BACK_COST = 1.1;

/**
 * Balance of a gun's air and powder: motive nozzle with filter against the suction chamber, whose pressure the hose's
 * back pressure raises; that depends on the powder lifted, which depends on the air. Three rounds suffice: the coupling is weak.
 *
 * @returns the steady working point
 */
export function workingPoint(spec: GunSpec, condition: Condition, around: Surroundings, set: Settings): WorkingPoint {
  const conveying = {
    conductance: spec.conveying.conductance * condition.nozzle,
    criticalRatio: spec.conveying.criticalRatio,
    filterLoss: spec.conveying.filterLoss + condition.conveyingLoss,
  };
  const supplementary = {
    conductance: spec.supplementary.conductance,
    criticalRatio: spec.supplementary.criticalRatio,
    filterLoss: spec.supplementary.filterLoss + condition.supplementaryLoss,
  };
  const atmosphere = around.atmosphereBar;
  let q = spec.usual.conveyingNm3h;
  let qs = spec.usual.supplementaryNm3h;
  let back = 0.05;
  let output = 0;
  let supplementaryBar = set.supplementaryBar;
  for (let round = 0; round < 3; round++) {
    const chamber = atmosphere + BACK_SHARE * back - SUCTION * q * q;
    q = lineFlow(conveying, atmosphere + set.conveyingBar, chamber, around.airK);
    if (spec.holdsTotal) {
      qs = heldSupplementary(set.totalNm3h, q);
      supplementaryBar = linePressure(supplementary, qs, atmosphere + back, around.airK) - atmosphere;
    } else qs = lineFlow(supplementary, atmosphere + set.supplementaryBar, atmosphere + back, around.airK);
    const sound = backPressureBar(spec.hoseFactor, q + qs, output);
    const cost = Math.exp(-BACK_COST * sound * (condition.back - 1));
    output = around.effect * condition.effect * cost * liftedPowder(spec.throat, q, qs);
    back = condition.back * backPressureBar(spec.hoseFactor, q + qs, output);
  }
  const { conductance, headBar } = spec.fluidizing;
  return {
    conveyingBar: set.conveyingBar,
    conveyingNm3h: q,
    supplementaryBar,
    supplementaryNm3h: qs,
    fluidizingNm3h: conductance * condition.fluidizing * Math.max(0, set.fluidizingBar - headBar),
    outputGmin: output,
    backBar: back,
    totalNm3h: q + qs,
  };
}
