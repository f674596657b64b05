import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addQuantity, emptyGaussian } from '../../../analyzer/baseline/gaussian-state.ts';
import { moveQuantity } from '../../../analyzer/baseline/move-quantity.ts';
import { observe } from '../../../analyzer/baseline/observe.ts';
import { observeAll } from '../../../analyzer/baseline/observe-all.ts';

const number = fc.double({ min: -3, max: 3, noNaN: true });

describe('an observation of all quantities of a small belief', () => {
  it('teaches to the last bit what the observation of named quantities teaches', () => {
    const reading = fc.record({
      by: fc.array(number, { minLength: 6, maxLength: 6 }),
      value: fc.double({ min: -50, max: 50, noNaN: true }),
      noise: fc.double({ min: 1e-3, max: 2, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 6 }), fc.array(reading, { minLength: 1, maxLength: 8 }), (n, readings) => {
        const [named, all] = [emptyGaussian(), emptyGaussian()];
        for (const state of [named, all])
          for (let i = 0; i < n; i++) {
            addQuantity(state, i / 10, 1 + i);
            if (i > 0) moveQuantity(state, i, 0.1, [i - 1], [0.5], 0.01);
          }
        const indices = Array.from({ length: n }, (_, i) => i);
        for (const { by, value, noise } of readings) {
          const coefficients = by.slice(0, n);
          const { value: off, variance } = observe(named, indices, coefficients, value, noise, 3);
          expect(observeAll(all, coefficients, value, noise, 3)).toBe(off / Math.sqrt(variance));
          expect(all).toEqual(named);
        }
      }),
    );
  });
});
