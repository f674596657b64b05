import { type CutContext, passTime } from '../runs/cut-runs.ts';
import { type CutState, HOLD_MS } from '../runs/cut-state.ts';
import type { GrowingRuns } from '../runs/growing-runs.ts';
import { trackOf } from '../runs/track.ts';
import type { StationFact, Track } from '../site.ts';

/**
 * What is known of a station that may have been silent since its newest reading: a pull that it left open is over once its
 * trigger no longer holds.
 *
 * @param state stays as it is, because a late reading may still show that the trigger did hold
 * @param runs those of the state; the pull that is over is put behind them
 * @param upTo reading time up to which the site is known, epoch ms
 * @param more facts from elsewhere
 */
export function trackUpTo(
  context: CutContext,
  state: CutState,
  runs: GrowingRuns,
  upTo: number,
  more: readonly StationFact[],
): Track {
  if (!state.pull.open || upTo - state.lastTime <= HOLD_MS) return trackOf(state, runs, upTo, more);
  const closed = structuredClone(state);
  passTime(context, closed, upTo, runs);
  return trackOf(closed, runs, upTo, more);
}
