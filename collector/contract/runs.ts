/**
 * The numbers that stand for one spray run (one trigger pull without its start-up surge): medians over
 * the steady part, spreads as 1.4826·MAD, `NaN` where the channel was not read.
 *
 * The order is the order on disk: add at the end, never reorder.
 */
export const RUN_FIELDS = [
  /** Trigger on, epoch ms. */
  'start',
  /** Trigger off, epoch ms. */
  'end',
  /** Time with the trigger on that the readings vouch for, ms. */
  'sprayMs',
  /** Readings of conveying flow in the steady part; 0 when the pull was too short to settle. */
  'samples',
  /** Powder, index into the table's `powders`; -1 when unknown. */
  'powder',
  /** Powder output, g/min: measured, set or coupled, as the plant file says; NaN when only a scale is fitted. */
  'output',
  'outputSpread',
  /** Conveying air, m3/h DIN 1343, and its pressure, bar gauge. */
  'conveyingFlow',
  'conveyingFlowSpread',
  'conveyingPressure',
  'conveyingPressureSpread',
  /** Median of the ripple channel, bar. */
  'ripple',
  'supplementaryFlow',
  'supplementaryPressure',
  'fluidizingFlow',
  'fluidizingPressure',
  /** Inlet of the unit while spraying, bar gauge. */
  'supplyPressure',
  /** Inlet of the unit in the idle time before this run, bar gauge: the difference is the sag. */
  'supplyPressureIdle',
  /** Scale under the powder box at start and end of the run, kg. */
  'massStart',
  'massEnd',
  /** Readings in the idle time before this run, some seconds after the trigger was released: the sensors' zeros. */
  'idleSamples',
  'zeroConveyingFlow',
  'zeroConveyingPressure',
  'zeroSupplementaryFlow',
  'zeroSupplementaryPressure',
  'zeroOutput',
  /** Sonic conductance of the line as seen at its pressure tap, dm3/(s·bar) ANR (ISO 6358), by subscript. */
  'conveyingConductance',
  'supplementaryConductance',
  'fluidizingConductance',
] as const;
export type RunField = (typeof RUN_FIELDS)[number];

/** Runs of one gun as columns of equal length, ascending by `start`; one row a run. */
export interface RunTable {
  readonly gun: string;
  readonly length: number;
  readonly columns: Readonly<Record<RunField, Float64Array>>;
  /** Powder ids that the `powder` column points into. */
  readonly powders: readonly string[];
}

/**
 * Powder id of a run; '' when unknown.
 *
 * @param row of the table
 */
export function powderAt({ columns, powders }: RunTable, row: number): string {
  const place = columns.powder[row]!;
  // To ask a list for its place -1 takes longer than all else that is done with a run.
  return place < 0 ? '' : (powders[place] ?? '');
}
