import { describe, expect, it } from 'vitest';
import {
  addQuantity,
  addTrace,
  emptyGaussian,
  restartTrace,
  takeStep,
  varianceOf,
} from '../../../analyzer/baseline/gaussian-state.ts';
import { moveQuantity } from '../../../analyzer/baseline/move-quantity.ts';
import { observe } from '../../../analyzer/baseline/observe.ts';

/** Two quantities that know of each other, and a step that is followed. */
function pair() {
  const state = emptyGaussian();
  addQuantity(state, 0, 1);
  addQuantity(state, 0, 1);
  moveQuantity(state, 1, 0, [0], [0.5], 0);
  const trace = addTrace(state);
  restartTrace(state.traces[trace]!, true);
  return { state, trace };
}

describe('a quantity that an observation must not teach', () => {
  it('keeps its mean and its deviation, and still counts', () => {
    const { state } = pair();
    const before = varianceOf(state, 1);
    const { variance } = observe(state, [0, 1], [1, 1], 2, 0.1, 1e9, [], [1]);
    expect(state.mean[1]).toBe(0);
    expect(varianceOf(state, 1)).toBe(before);
    expect(variance).toBeGreaterThan(1 + before);
    expect(state.mean[0]).toBeGreaterThan(0);
  });

  it('is not moved when a step that was followed meanwhile is taken in', () => {
    const { state, trace } = pair();
    for (let i = 0; i < 20; i++) observe(state, [0, 1], [1, 1], -1, 0.1, 1e9, [trace], [1]);
    expect(state.traces[trace]!.information).toBeGreaterThan(0);
    const loss = addQuantity(state, 0, 1e-6);
    takeStep(state, state.traces[trace]!, loss, 1, 1);
    expect(state.mean[loss]).toBeGreaterThan(0.3);
    expect(state.mean[1]).toBe(0);
  });
});
