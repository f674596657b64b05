import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bringIn, placeIn, workOnBeliefs } from '../../../analyzer/baseline/belief-room.ts';
import {
  addQuantity,
  addTrace,
  decayQuantity,
  emptyGaussian,
  type GaussianState,
  resetQuantity,
  restartTrace,
  takeStep,
} from '../../../analyzer/baseline/gaussian-state.ts';
import { moveQuantity } from '../../../analyzer/baseline/move-quantity.ts';
import { observe } from '../../../analyzer/baseline/observe.ts';

/** Quantities that know of each other, and steps that are followed. */
function belief(quantities: number): GaussianState {
  const state = emptyGaussian();
  for (let i = 0; i < quantities; i++) {
    addQuantity(state, i / 7, 1 + i / 3);
    if (i > 0) moveQuantity(state, i, 0.1, [i - 1], [0.6], 0.01);
    if (i % 3 === 0) restartTrace(state.traces[addTrace(state)]!, true);
  }
  return state;
}

const number = fc.double({ min: -2, max: 2, noNaN: true });
const deed = fc.record({
  kind: fc.constantFrom('read', 'read', 'read', 'consider', 'decay', 'move', 'reset', 'step', 'grow'),
  places: fc.tuple(fc.nat(), fc.nat(), fc.nat()),
  by: fc.tuple(number, number, number),
});
type Deed = typeof deed extends fc.Arbitrary<infer Done> ? Done : never;

function act(state: GaussianState, { kind, places, by }: Deed): void {
  const [a, b, c] = places.map((place) => place % state.n) as [number, number, number];
  const trace = places[0] % state.traces.length;
  const others = [...new Set([b, c])].filter((index) => index !== a);
  if (kind === 'read') observe(state, [a, ...others], by.slice(0, 1 + others.length), by[2], 0.3, 2.5, [trace]);
  if (kind === 'consider') observe(state, [a, ...others], by.slice(0, 1 + others.length), by[1], 0.3, 2.5, [], others);
  if (kind === 'decay') decayQuantity(state, a, by[0] / 4 + 0.5, 0.1);
  if (kind === 'move') moveQuantity(state, a, by[0], others, by.slice(0, others.length), 0.01);
  if (kind === 'reset') resetQuantity(state, a, by[1], 0.4);
  if (kind === 'step') takeStep(state, state.traces[trace]!, a, 0.2, 1);
  if (kind === 'step') restartTrace(state.traces[trace]!, true);
  if (kind === 'grow' && state.n < 60) addQuantity(state, by[0], 0.5);
}

describe('beliefs that are worked on in one memory', () => {
  it('come to the same, to the last bit, as in arrays of their own, and are plain data again at the end', () => {
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 40 }), fc.array(deed, { maxLength: 30 }), (quantities, deeds) => {
        const [apart, worked] = [belief(quantities), belief(quantities)];
        for (const done of deeds) act(apart, done);
        workOnBeliefs(() => {
          for (const done of deeds) {
            bringIn(worked);
            expect(placeIn(worked)).toBeDefined();
            act(worked, done);
          }
        });
        expect(worked).toEqual(apart);
        const arrays = [worked.mean, worked.cov, ...worked.traces.map(({ astray }) => astray)];
        for (const { buffer } of arrays) expect(buffer.byteLength).toBeLessThan(100_000);
      }),
    );
  });

  it('are given back, and their room is free again, when the work fails', () => {
    const state = belief(9);
    const before = structuredClone(state);
    for (let round = 0; round < 2000; round++)
      expect(() =>
        workOnBeliefs(() => {
          bringIn(state);
          expect(placeIn(state)).toBeDefined();
          throw new Error('enough');
        }),
      ).toThrow('enough');
    expect(placeIn(state)).toBeUndefined();
    expect(state).toEqual(before);
  });

  it('stay where they are when there is no room for them', () => {
    const many = Array.from({ length: 300 }, () => belief(60));
    const alone = belief(60);
    const read = (state: GaussianState): unknown => observe(state, [0, 30, 59], [1, 0.5, -1], 2, 0.1, 2.5, [1]);
    read(alone);
    workOnBeliefs(() => {
      // Larger and larger, so that none fits where the one before was.
      for (const state of many) {
        for (let more = 0; more < 60; more++) addQuantity(state, 0, 1);
        bringIn(state);
      }
      expect(many.some((state) => placeIn(state) === undefined)).toBe(true);
    });
    workOnBeliefs(() => {
      const state = belief(60);
      read(state);
      expect(state).toEqual(alone);
    });
  });
});
