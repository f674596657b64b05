import type { StepTrace } from './gaussian-state.ts';

/** ln of the odds that a step of some prior variance explains the innovations better than none (a Bayes factor). */
export function evidenceFor({ information, score }: StepTrace, variance: number): number {
  const gain = 1 + information * variance;
  return 0.5 * ((score * score * variance) / gain - Math.log(gain));
}

/** What `evidenceFor` is at the most: known from less, and mostly too little already. */
export function mostEvidenceFor({ information, score }: StepTrace, variance: number): number {
  return 0.5 * ((score * score * variance) / (1 + information * variance));
}

/**
 * Loss since a trace began over its deviation, as the innovations say: what a likelihood ratio of steps looks at. Below 0 for a gain.
 *
 * Source: A. S. Willsky & H. L. Jones (1976), IEEE Trans. Automatic Control 21(1) 108.
 */
export function standardisedLoss({ information, score }: StepTrace): number {
  return information > 0 ? score / Math.sqrt(information) : 0;
}
