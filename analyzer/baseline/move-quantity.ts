import { addAcross, placeIn, roomFor } from './belief-room.ts';
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
  const { n, cov } = state;
  const place = placeIn(state);
  const across = roomFor(n).across.fill(0, 0, n);
  addAcross(state, target, 1, place);
  for (let s = 0; s < sources.length; s++) addAcross(state, sources[s]!, sensitivities[s]!, place);
  let own = across[target]!;
  for (let s = 0; s < sources.length; s++) own += sensitivities[s]! * across[sources[s]!]!;
  across[target] = own + variance;
  for (let j = 0; j < n; j++) cov[placeOf(target, j)] = across[j]!;
  state.mean[target] = state.mean[target]! + amount;
  for (const { active, astray } of state.traces)
    if (active)
      for (let s = 0; s < sources.length; s++)
        astray[target] = astray[target]! + sensitivities[s]! * astray[sources[s]!]!;
}
