import { describe, expect, it } from 'vitest';
import { SIGNALS } from '../../../analyzer/baseline/learn-signals.ts';
import {
  driftOf,
  learnSteadyLevel,
  newSteadyLevel,
  openToStep,
  type SteadyLevel,
} from '../../../analyzer/baseline/steady-level.ts';
import { seededNormal } from '../../seeded-normal.ts';

const BLOCK_HOURS = 8 / 60;
/** Error of one block's mean, ln ripple: twelve runs. */
const BLOCK_SD = 0.12 / Math.sqrt(12);

/** Takes blocks of one powder in, one every half an hour; `ripple` is ln of what it is beside noise. Returns the deviations that were said. */
function spray(
  state: SteadyLevel,
  normal: () => number,
  blocks: number,
  powder: string,
  ripple: number,
  { start = state.time, signal = SIGNALS.ripple as Parameters<typeof learnSteadyLevel>[1] } = {},
): number[] {
  return Array.from({ length: blocks }, (_, at) =>
    learnSteadyLevel(
      state,
      signal,
      start + (at + 1) * 1_800_000,
      BLOCK_HOURS,
      0.9,
      ripple + BLOCK_SD * normal(),
      BLOCK_SD ** 2,
      powder,
    ),
  );
}

describe('ripple of powders that pulse differently', () => {
  it('is no deviation once each powder has been sprayed, and no drift', () => {
    const normal = seededNormal(7);
    const state = newSteadyLevel();
    for (let week = 0; week < 3; week++) {
      spray(state, normal, 10, 'p-1', -4.4);
      spray(state, normal, 10, 'p-2', -4.1);
    }
    const first = spray(state, normal, 1, 'p-1', -4.4)[0]!;
    const other = spray(state, normal, 1, 'p-2', -4.1)[0]!;
    expect(Math.abs(first)).toBeLessThan(2);
    expect(Math.abs(other)).toBeLessThan(2);
    expect(Math.abs(driftOf(state)!.mean)).toBeLessThan(0.05);
  });

  it('leaves a powder that is met for the first time open, though not to what leaks do', () => {
    const normal = seededNormal(8);
    const state = newSteadyLevel();
    spray(state, normal, 30, 'p-1', -4.4);
    const [met] = spray(state, normal, 1, 'p-2', -4.2);
    expect(met).toBeLessThan(2);
    const leaking = newSteadyLevel();
    spray(leaking, normal, 30, 'p-1', -4.4);
    expect(spray(leaking, normal, 1, 'p-2', -3.6)[0]).toBeGreaterThan(3);
  });

  it('shows a leak that began with a change to a powder that is known', () => {
    const normal = seededNormal(9);
    const state = newSteadyLevel();
    for (let week = 0; week < 3; week++) {
      spray(state, normal, 10, 'p-1', -4.4);
      spray(state, normal, 10, 'p-2', -4.1);
    }
    openToStep(state, 0.8);
    expect(spray(state, normal, 6, 'p-1', -4)[0]).toBeGreaterThan(0);
    expect(driftOf(state)!.mean).toBeGreaterThan(0.33);
  });

  it('stays bounded however many powders come', () => {
    const normal = seededNormal(10);
    const state = newSteadyLevel();
    for (let at = 0; at < 60; at++) spray(state, normal, 2, `p-${at}`, -4.4);
    expect(state.gaussian.n).toBe(4 + 24);
    expect(state.powders).toContain('p-59');
    expect(state.powders).not.toContain('p-0');
    expect(state.gaussian.mean.every(Number.isFinite)).toBe(true);
  });

  it('of other signals is as before: the powder is not asked', () => {
    const normal = seededNormal(11);
    const state = newSteadyLevel();
    spray(state, normal, 5, 'p-1', 0, { signal: SIGNALS.fluidizing });
    spray(state, normal, 5, 'p-2', 0, { signal: SIGNALS.fluidizing });
    expect(state.gaussian.n).toBe(4);
  });
});
