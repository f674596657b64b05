import uPlot from 'uplot';
import type { Span } from './look.ts';

/** All charts of the stack share one cursor, and move together while fingers or the wheel are on one of them. */
export const STACK = uPlot.sync('history');

/** Moves the axes of all charts; their curves stay those that they have. */
export function showOnStack({ from, to }: Span): void {
  for (const plot of STACK.plots) plot.setScale('x', { min: from / 1000, max: to / 1000 });
}
