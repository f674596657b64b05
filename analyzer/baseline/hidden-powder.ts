import type { Innovation } from './observe.ts';
import { PRIORS } from './pump-priors.ts';

/** Pauses over which it is reckoned, and the least deviation (ln of output). Source: own choice: a week or two; a hall of one powder still has its lots. */
const PAUSES = 40;
const LEAST_SD = 0.05;
/** Deviations of one block that count at most. Source: own choice: as much as it may pull. */
const CLIP = 2.5;

/**
 * How far powders that nobody reads move a gun's output, learnt from the first block after each pause that may have brought another. Halls spray few
 * powders, many of them alike: to allow for more than they do is to take wear for another powder.
 *
 * @param hidden variance believed so far, ln of output
 * @param innovation what the block said against what was expected, and the variance expected of that, the powder's own share included
 * @returns the variance believed now
 * Source: R. K. Mehra (1970), IEEE Trans. Automatic Control 15(2) 175, covariances of a filter from its innovations; here with a forgetting mean.
 * @example
 * learnHidden(0.0144, { value: 0.02, variance: 0.01 }); // 0.014025
 */
export function learnHidden(hidden: number, innovation: Innovation): number {
  const { chance, sd } = PRIORS.hidden;
  const fresh = 1 - (1 - chance) ** 2;
  const square = Math.min(innovation.value ** 2, CLIP ** 2 * innovation.variance);
  const said = (square - (innovation.variance - fresh * hidden)) / fresh;
  return Math.min(Math.max(hidden + (said - hidden) / PAUSES, LEAST_SD ** 2), sd ** 2);
}
