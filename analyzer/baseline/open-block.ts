/** Sums over the runs of one block that is still open. Plain numbers: part of the pipeline's state. */
export interface OpenBlock {
  powder: string;
  start: number;
  end: number;
  runs: number;
  minutes: number;
  kilograms: number;
  weight: number;
  flow: number;
  pressure: number;
  pressureWeight: number;
  supplementary: number;
  supplementaryPressure: number;
  supplementaryWeight: number;
  fluidizing: number;
  fluidizingPressure: number;
  fluidizingWeight: number;
  unsteadiness: number;
  unsteadinessWeight: number;
  /** Per run: ln output less twice ln flow (so that small moves of the air cancel), ln ripple, and weights. */
  outputs: number[];
  outputWeights: number[];
  ripples: number[];
  /** Steady readings behind these ripples. */
  rippleReadings: number;
  supply: number;
  supplyRuns: number;
  sag: number;
  sagRuns: number;
}

/** A block without runs yet, from `start` on. */
export function openBlock(powder: string, start: number): OpenBlock {
  return {
    powder,
    start,
    end: start,
    runs: 0,
    minutes: 0,
    kilograms: 0,
    weight: 0,
    flow: 0,
    pressure: 0,
    pressureWeight: 0,
    supplementary: 0,
    supplementaryPressure: 0,
    supplementaryWeight: 0,
    fluidizing: 0,
    fluidizingPressure: 0,
    fluidizingWeight: 0,
    unsteadiness: 0,
    unsteadinessWeight: 0,
    outputs: [],
    outputWeights: [],
    ripples: [],
    rippleReadings: 0,
    supply: 0,
    supplyRuns: 0,
    sag: 0,
    sagRuns: 0,
  };
}
