import { gatherAcross, listsFor, moveAstray, placeIn } from './belief-room.ts';
import { type GaussianState, placeOf } from './gaussian-state.ts';

/**
 * Moves a quantity by a known amount that depends on others: target += amount, with the
 * sensitivity of that amount to each of `sources` (first-order propagation), and `variance` of its own.
 */
export function moveQuantity(
  state: GaussianState,
  target: number,
  amount: number,
  sources: readonly number[],
  sensitivities: readonly number[],
  variance: number,
): void {
  const { n, cov, traces } = state;
  const terms = 1 + sources.length;
  const { across, indices, coefficients } = listsFor(n, terms, traces.length);
  const place = placeIn(state);
  indices[0] = target;
  coefficients[0] = 1;
  for (let s = 1; s < terms; s++) {
    indices[s] = sources[s - 1]!;
    coefficients[s] = sensitivities[s - 1]!;
  }
  gatherAcross(state, terms, place);
  let own = across[target]!;
  for (let s = 1; s < terms; s++) own += coefficients[s]! * across[indices[s]!]!;
  across[target] = own + variance;
  const row = placeOf(target, 0);
  for (let j = 0; j <= target; j++) cov[row + j] = across[j]!;
  for (let i = target + 1, at = placeOf(i, target); i < n; at += ++i) cov[at] = across[i]!;
  state.mean[target] = state.mean[target]! + amount;
  // Those that follow nothing were never led anywhere.
  moveAstray(state, target, terms, place);
}
