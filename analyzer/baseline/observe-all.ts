import type { GaussianState } from './gaussian-state.ts';

/** Quantities of the largest belief that is learnt so: four of a signal and two dozen powders. */
const MOST = 32;
/** Covariance of each quantity with the observation, and the same over its deviation: nothing of it outlasts a call. */
const across = new Float64Array(MOST);
const moves = new Float64Array(MOST);

/**
 * Takes in one observation of all quantities of a small belief that follows no steps: `observe` without what a pool's belief needs, because
 * every signal of a gun has a few such quantities, and most observations are theirs.
 *
 * @param coefficients one for each quantity, at most `MOST`
 * @param clip as in `observe`
 * @returns the innovation over its deviation, as it was before clipping
 */
export function observeAll(
  { n, cov, mean }: GaussianState,
  coefficients: readonly number[],
  value: number,
  noise: number,
  clip: number,
): number {
  for (let i = 0; i < n; i++) across[i] = 0;
  let expected = 0;
  let variance = noise;
  let place = 0;
  for (let i = 0; i < n; i++) {
    const by = coefficients[i]!;
    for (let j = 0; j < i; j++) {
      const both = cov[place++]!;
      across[i] = across[i]! + coefficients[j]! * both;
      across[j] = across[j]! + by * both;
    }
    across[i] = across[i]! + by * cov[place++]!;
  }
  for (let i = 0; i < n; i++) {
    expected += coefficients[i]! * mean[i]!;
    variance += coefficients[i]! * across[i]!;
  }
  const innovation = value - expected;
  const deviation = Math.sqrt(variance);
  const distance = Math.abs(innovation) / deviation;
  const used = distance > clip ? variance * (distance / clip) : variance;
  const root = Math.sqrt(used);
  const pull = innovation / used;
  place = 0;
  for (let i = 0; i < n; i++) {
    const move = across[i]! / root;
    moves[i] = move;
    mean[i] = mean[i]! + pull * across[i]!;
    for (let j = 0; j <= i; j++, place++) cov[place] = cov[place]! - move * moves[j]!;
  }
  return innovation / deviation;
}
