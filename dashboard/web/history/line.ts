import type { Dash } from './panels.ts';

/** One line of a chart, on the chart's times. */
export interface Line {
  readonly label: string;
  readonly dash: Dash;
  readonly faint: boolean;
  readonly values: readonly (number | null | undefined)[];
  /** Lowest and highest around it; null where it has no band. */
  readonly band: {
    readonly low: readonly (number | null | undefined)[];
    readonly high: readonly (number | null | undefined)[];
  } | null;
}
