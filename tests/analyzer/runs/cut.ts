import { type CutContext, cutRuns } from '../../../analyzer/runs/cut-runs.ts';
import { type CutState, startCut } from '../../../analyzer/runs/cut-state.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import type { Frames, RunField } from '../../../collector/contract/index.ts';
import { framesOf, type Instant } from './station-frames.ts';

export const GUN: CutContext = {
  station: 'gun-1',
  isGun: true,
  outputMeasured: true,
  outputSet: false,
  atmosphereBar: 1.01325,
  fitted: new Set(),
};

/** Cuts a whole history at once. */
export function cut(
  instants: readonly Instant[] | Frames,
  context: CutContext = GUN,
): { state: CutState; runs: GrowingRuns; column: (field: RunField) => number[] } {
  const state = startCut();
  const runs = new GrowingRuns(context.station);
  cutRuns(context, state, 'times' in instants ? instants : framesOf(context.station, instants), runs);
  return { state, runs, column: (field) => [...runs.table().columns[field]] };
}
