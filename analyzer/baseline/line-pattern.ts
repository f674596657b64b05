/**
 * How what a conveying line has lost goes with its pressure, which tells what has lost it: behind a laminar filter a low pressure loses a larger share than a high one, a flow
 * meter that reads low the same share at any, a gauge that reads high more of a high one. What each of them leaves over in the last blocks is kept in sums of squares. Part of the pipeline's state.
 */
export interface LinePattern {
  blocks: number;
  /** What each cause leaves over lately, and the sum of squares about that; in the order of PATTERN_OF. */
  means: [number, number, number];
  squares: [number, number, number];
}

/** What may be behind a loss, in the order of the sums. */
export const PATTERN_OF = { filter: 0, meter: 1, gauge: 2 } as const;

/** Spray hours over which blocks count. Source: own choice, some days of several recipes. */
const MEMORY_HOURS = 15;
/** Spray hours over which the mean of what is left over is taken: a loss that grows moves all patterns, recipes come and go sooner. Source: own choice, a shift. */
const MEAN_HOURS = 2;
/** Deviation of a block beside a pattern, ln of flow, hours of weather, hose and recipe included. Source: own choice, four times the error of a block alone. */
const BLOCK_SD = 0.02;
/** ln odds that patterns give at the most. Source: own choice, thirty to one: forms of nozzles and hoses are not known to the last. */
const MOST_ODDS = Math.log(30);

export const newLinePattern = (): LinePattern => ({ blocks: 0, means: [0, 0, 0], squares: [0, 0, 0] });

/**
 * Takes one block in.
 *
 * @param off ln of its flow against that of the sound line
 * @param expected the same as each cause would have it, in the order of PATTERN_OF
 */
export function followPattern(
  pattern: LinePattern,
  off: number,
  expected: readonly [number, number, number],
  hours: number,
): void {
  const keep = Math.exp(-hours / MEMORY_HOURS);
  pattern.blocks++;
  const gain = Math.max(1 / pattern.blocks, 1 - Math.exp(-hours / MEAN_HOURS));
  for (const place of [0, 1, 2] as const) {
    const left = off - expected[place] - pattern.means[place];
    pattern.means[place] += gain * left;
    pattern.squares[place] = keep * pattern.squares[place] + (1 - gain) * left * left;
  }
}

/** Odds that the pattern gives to each cause, the likeliest 1, in the order of PATTERN_OF; all 1 before it says anything. */
export function patternOdds({ squares }: LinePattern): [number, number, number] {
  const least = Math.min(...squares);
  const odds = (place: 0 | 1 | 2): number =>
    Math.exp(-Math.min(MOST_ODDS, (squares[place] - least) / (2 * BLOCK_SD ** 2)));
  return [odds(0), odds(1), odds(2)];
}
