import type { RunTable } from '../../collector/contract/index.ts';

/** What of a pull should stand still once it has settled: a regulator holds the air, and powder follows it. */
export type JumpField = 'flow' | 'pressure' | 'output';

/** Shares of a gun's late pulls, of those with enough readings, in which a reading jumped about its middle. Part of the pipeline's state. */
export interface JumpingReadings {
  runs: number;
  flow: number;
  pressure: number;
  output: number;
}

/** Readings of a pull below which their spread says little, pulls that are remembered, and before which nothing is said. Source: own choice, an hour or two of work. */
const READINGS = 5;
const MEMORY = 50;
const FIRST = 20;
/**
 * Spread within a pull, as a share of its middle, beyond which a reading jumps. Source: own choice: air through a regulator stays within some
 * percents, a notch moves it by 10 %; a meter of powder that is read every 2 s scatters by some 6 to 15 %.
 */
const JUMPS = { flow: 0.25, pressure: 0.25, output: 0.35 } as const;
/** Share of pulls from which it is no chance. Source: own choice; where sensors are sound one pull in twelve was the most. */
const MOST = 0.5;

export const newJumpingReadings = (): JumpingReadings => ({ runs: 0, flow: 0, pressure: 0, output: 0 });

const jumped = (spread: number, middle: number, share: number): 0 | 1 => (spread > share * Math.abs(middle) ? 1 : 0);

/** Takes one run in; does nothing for one with few readings. */
export function followJumps(jumps: JumpingReadings, { columns: c }: RunTable, row: number): void {
  if (!(c.samples[row]! >= READINGS)) return;
  jumps.runs++;
  const weight = 1 / Math.min(jumps.runs, MEMORY);
  jumps.flow += weight * (jumped(c.conveyingFlowSpread[row]!, c.conveyingFlow[row]!, JUMPS.flow) - jumps.flow);
  jumps.pressure +=
    weight * (jumped(c.conveyingPressureSpread[row]!, c.conveyingPressure[row]!, JUMPS.pressure) - jumps.pressure);
  jumps.output += weight * (jumped(c.outputSpread[row]!, c.output[row]!, JUMPS.output) - jumps.output);
}

/**
 * True while most pulls of a gun show a reading that jumps about: what comes of it as a mean is chance, and no part is judged by it.
 *
 * @example
 * isJumping({ runs: 60, flow: 0.02, pressure: 0, output: 0.9 }, 'output'); // true
 */
export function isJumping(jumps: JumpingReadings, field: JumpField): boolean {
  if (jumps.runs < FIRST) return false;
  // Asked for each with every run: by name that is quicker than by key.
  const share = field === 'flow' ? jumps.flow : field === 'pressure' ? jumps.pressure : jumps.output;
  return share > MOST;
}
