import type { Channel } from '../../collector/contract/index.ts';

/** Channels whose readings a pull keeps until it is closed, and their places in its columns. */
export const PULL_CHANNELS = [
  'conveying/flow',
  'conveying/pressure',
  'conveying/ripple',
  'supplementary/flow',
  'supplementary/pressure',
  'fluidizing/flow',
  'fluidizing/pressure',
  'supply/pressure',
  'powder/output',
  'powder/mass',
] as const satisfies readonly Channel[];
export const FLOW = 0;
export const PRESSURE = 1;
export const RIPPLE = 2;
export const SUPPLEMENTARY_FLOW = 3;
export const SUPPLEMENTARY_PRESSURE = 4;
export const FLUIDIZING_FLOW = 5;
export const FLUIDIZING_PRESSURE = 6;
export const SUPPLY_PRESSURE = 7;
export const OUTPUT = 8;
export const MASS = 9;
