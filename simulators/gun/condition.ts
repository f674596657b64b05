import type { GunSpec } from './gun-spec.ts';

/** How a gun differs from a new one at a moment; faults write it, the air balance reads it. */
export interface Condition {
  /** Factor on the pumping effect from everything but powder, weather and back pressure. */
  effect: number;
  /** Factor on the ripple of conveying pressure. */
  ripple: number;
  /** Factor on hose and gun back pressure. */
  back: number;
  /** Added filter losses, bar²·h/Nm³. */
  conveyingLoss: number;
  supplementaryLoss: number;
  /** Factors. */
  nozzle: number;
  fluidizing: number;
  /** Added inlet loss, bar per Nm³/h. */
  inletLoss: number;
  /** Deviation of output within a pull, share, beyond a sound gun's. */
  unsteady: number;
}

export function soundCondition(): Condition {
  return {
    effect: 1,
    ripple: 1,
    back: 1,
    conveyingLoss: 0,
    supplementaryLoss: 0,
    nozzle: 1,
    fluidizing: 1,
    inletLoss: 0,
    unsteady: 0,
  };
}

/** The air at a gun's steady working point, Nm³/h and bar gauge; output in g/min. */
export interface WorkingPoint {
  conveyingBar: number;
  conveyingNm3h: number;
  supplementaryBar: number;
  supplementaryNm3h: number;
  fluidizingNm3h: number;
  outputGmin: number;
  backBar: number;
  totalNm3h: number;
}

/**
 * Filter loss that takes a share off the flow of a choked line with a clean filter: from q = C·(p1 − a·q/p1).
 *
 * @returns bar²·h/Nm³
 * @example
 * lossForConductance(0.2, 3, 2.25); // 1.0
 */
export function lossForConductance(share: number, tapAbsBar: number, flowNm3h: number): number {
  return (share * tapAbsBar * tapAbsBar) / ((1 - share) * flowNm3h);
}

/** Total air of a gun at its usual recipe, Nm³/h, fluidizing included. */
export function usualTotal(spec: GunSpec): number {
  const fluidizing = spec.fluidizing.conductance * (spec.fluidizing.setBar - spec.fluidizing.headBar);
  return spec.usual.conveyingNm3h + spec.usual.supplementaryNm3h + fluidizing;
}
