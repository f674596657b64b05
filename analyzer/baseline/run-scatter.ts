/**
 * How much of one run's output is chance, variance of ln. What runs of one block show of it is too little: a bed that stands high or low for
 * some ten pulls moves all of them alike, and two or three runs agree by chance. So it is learnt for each gun from how far blocks
 * fall from what was expected of them, the short ones more than the long ones.
 */
export const RUN_SCATTER = {
  /** Before a block was seen, and the least. Source: own choice: 6 % as of a meter that is read two or three times in a pull; 2 %. */
  first: 0.06 ** 2,
  /** The same where a scale tells and pulls are timed: a pull of 20 s read every 5 to 10 s is known to some seconds at either end. Source: own choice, 15 %. */
  timed: 0.15 ** 2,
  least: 0.02 ** 2,
  /** Blocks over which it is reckoned. Source: own choice, some two weeks. */
  blocks: 150,
  /** And as many as what is believed before counts for where a scale tells: how often its node reads shows within some shifts. Source: own choice. */
  firstBlocks: 20,
} as const;
/** Deviations of one block that count at most. Source: own choice: as much as it may pull. */
const CLIP = 2.5;

/** Variance of a block's mean output, from its own runs and from what the gun's blocks have shown: the larger. */
export function blockScatter(scatter: number, runs: number, shown: number): number {
  return Math.max(shown, scatter / runs);
}

/**
 * What is believed of a gun's scatter after another block.
 *
 * @param innovation what the block said against what was expected (ln), and the variance expected of that
 * @param taken what `blockScatter` had said, part of that variance
 * @param blocks how many blocks count
 * Source: R. K. Mehra (1970), IEEE Trans. Automatic Control 15(2) 175, noise of observations from their innovations; here with a forgetting mean.
 * @example
 * learnScatter(0.0036, 10, { value: 0.05, variance: 0.0025 }, 0.0004); // 0.003603
 */
export function learnScatter(
  scatter: number,
  runs: number,
  innovation: { readonly value: number; readonly variance: number },
  taken: number,
  blocks: number = RUN_SCATTER.blocks,
): number {
  const square = Math.min(innovation.value ** 2, CLIP ** 2 * innovation.variance);
  const said = runs * (square - (innovation.variance - taken));
  return Math.max(scatter + (said - scatter) / blocks, RUN_SCATTER.least);
}
