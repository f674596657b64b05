import type { Channel, RunField } from '../../collector/contract/index.ts';
import type { TracePoint } from '../../collector/index.ts';

/** One curve of a gun's history: where its values come from, and their unit. */
export interface HistorySeries {
  readonly name: string;
  readonly unit: 'm3/h' | 'bar' | 'g/min' | 'share' | 'dm3/(s·bar)';
  /** Field of a spray run; null for what only the analysis says. */
  readonly field: RunField | null;
  /** Channel of raw readings, where one carries it. */
  readonly channel: Channel | null;
  /** What the hourly course of the analysis carries: middle, and its band where it has one. */
  readonly trace: {
    readonly mid: keyof TracePoint;
    readonly low?: keyof TracePoint;
    readonly high?: keyof TracePoint;
  } | null;
}

const ofRun = (
  name: string,
  unit: HistorySeries['unit'],
  field: RunField,
  channel: Channel | null = null,
): HistorySeries => ({ name, unit, field, channel, trace: null });

/** Air in m3/h at 0 °C and 1013.25 hPa, conductance at the reference atmosphere of ISO 6358. */
export const HISTORY_SERIES: readonly HistorySeries[] = [
  ofRun('conveyingFlow', 'm3/h', 'conveyingFlow', 'conveying/flow'),
  { name: 'neededAir', unit: 'm3/h', field: null, channel: null, trace: { mid: 'needed' } },
  { name: 'excessAir', unit: 'share', field: null, channel: null, trace: { mid: 'excess', low: 'low', high: 'high' } },
  ofRun('output', 'g/min', 'output', 'powder/output'),
  ofRun('conveyingPressure', 'bar', 'conveyingPressure', 'conveying/pressure'),
  ofRun('conveyingConductance', 'dm3/(s·bar)', 'conveyingConductance'),
  ofRun('supplementaryFlow', 'm3/h', 'supplementaryFlow', 'supplementary/flow'),
  ofRun('supplementaryConductance', 'dm3/(s·bar)', 'supplementaryConductance'),
  ofRun('fluidizingFlow', 'm3/h', 'fluidizingFlow', 'fluidizing/flow'),
  ofRun('fluidizingConductance', 'dm3/(s·bar)', 'fluidizingConductance'),
  ofRun('ripple', 'bar', 'ripple', 'conveying/ripple'),
  ofRun('supplyPressure', 'bar', 'supplyPressure', 'supply/pressure'),
];
