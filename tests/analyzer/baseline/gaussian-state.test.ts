import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addQuantity,
  decayQuantity,
  emptyGaussian,
  type GaussianState,
  linearForm,
  placeOf,
  resetQuantity,
  varianceOf,
} from '../../../analyzer/baseline/gaussian-state.ts';
import { moveQuantity } from '../../../analyzer/baseline/move-quantity.ts';
import { observe } from '../../../analyzer/baseline/observe.ts';
import { fixture } from '../../published/fixture.ts';

function beliefs(count: number, variance: number): GaussianState {
  const state = emptyGaussian();
  for (let i = 0; i < count; i++) addQuantity(state, 0, variance);
  return state;
}

const finite = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('one observation', () => {
  // Source: the mean of two values weighted by their precisions, any textbook on measurement: (0/4 + 3/1) / (1/4 + 1).
  it('weighs what was believed and what is read by their precisions', () => {
    const state = beliefs(1, 4);
    observe(state, [0], [1], 3, 1, 1e9);
    expect(state.mean[0]).toBeCloseTo(2.4, 12);
    expect(state.cov[0]).toBeCloseTo(0.8, 12);
  });

  it('tells how far the value was from the expected one, and the variance of that', () => {
    const state = beliefs(1, 4);
    expect(observe(state, [0], [1], 3, 1, 1e9)).toEqual({ value: 3, variance: 5 });
  });

  it('moves what is correlated with what was read, and leaves alone what is not', () => {
    const state = beliefs(3, 1);
    moveQuantity(state, 1, 0, [0], [1], 0);
    observe(state, [0], [1], 1, 0.5, 1e9);
    expect(state.mean[1]).toBeGreaterThan(0.1);
    expect(state.mean[2]).toBe(0);
    expect(varianceOf(state, 2)).toBe(1);
  });

  it.each([
    [2.4, false],
    [2.6, true],
  ])('is held back beyond 2.5 deviations only: %f deviations', (deviations, held) => {
    const clipped = beliefs(1, 1);
    const free = beliefs(1, 1);
    const value = deviations * Math.SQRT2;
    observe(clipped, [0], [1], value, 1, 2.5);
    observe(free, [0], [1], value, 1, 1e9);
    expect(clipped.mean[0]! < free.mean[0]!).toBe(held);
  });

  it('pulls no harder from a hundred deviations off than from 2.5', () => {
    const far = beliefs(1, 1);
    const near = beliefs(1, 1);
    observe(far, [0], [1], 100 * Math.SQRT2, 1, 2.5);
    observe(near, [0], [1], 2.5 * Math.SQRT2, 1, 2.5);
    expect(far.mean[0]).toBeCloseTo(near.mean[0]!, 12);
  });
});

describe('many observations', () => {
  // Source: NIST StRD Norris, certified coefficients; with next to no prior the filter is least squares.
  it('come to the certified line of a published data set', () => {
    const { input, expected_certified: certified } = fixture<{
      input: { x: number[]; y: number[] };
      expected_certified: { B0: number; B1: number };
    }>('A-linear-regression-norris');
    const state = beliefs(2, 1e6);
    for (const [i, y] of input.y.entries()) observe(state, [0, 1], [1, input.x[i]!], y, 1, 1e12);
    expect(state.mean[0]).toBeCloseTo(certified.B0, 4);
    expect(state.mean[1]).toBeCloseTo(certified.B1, 6);
  });

  it('of one quantity give the same belief in whatever order they come', () => {
    const reading = fc.record({ by: finite(0.5, 2), value: finite(-5, 5), noise: finite(0.1, 2) });
    fc.assert(
      fc.property(fc.array(reading, { minLength: 1, maxLength: 12 }), (readings) => {
        const forward = beliefs(1, 1);
        const backward = beliefs(1, 1);
        for (const { by, value, noise } of readings) observe(forward, [0], [by], value, noise, 1e9);
        for (const { by, value, noise } of [...readings].reverse()) observe(backward, [0], [by], value, noise, 1e9);
        expect(forward.mean[0]!).toBeCloseTo(backward.mean[0]!, 9);
        expect(forward.cov[0]!).toBeCloseTo(backward.cov[0]!, 9);
      }),
    );
  });
});

describe('time and changes', () => {
  it('make a quantity less sure again, never surer, as it decays with what it gains', () => {
    const state = beliefs(1, 1);
    observe(state, [0], [1], 1, 0.01, 1e9);
    const before = state.cov[0]!;
    decayQuantity(state, 0, 0.9, 1 - 0.81);
    expect(state.cov[0]).toBeGreaterThan(before);
    expect(state.cov[0]).toBeLessThanOrEqual(1);
  });

  it('forget a quantity by a reset, whatever it was tied to', () => {
    const state = beliefs(2, 1);
    moveQuantity(state, 1, 0, [0], [1], 0);
    resetQuantity(state, 1, 0.5, 0.04);
    expect([state.mean[1], varianceOf(state, 1), state.cov[placeOf(0, 1)]]).toEqual([0.5, 0.04, 0]);
  });

  // Source: variance of a sum, Var(a + b) = Var a + Var b + 2 Cov(a, b).
  it('carry the uncertainty of a rate into what it moves', () => {
    const state = beliefs(2, 1);
    moveQuantity(state, 1, 0, [0], [3], 0.5);
    expect(varianceOf(state, 1)).toBeCloseTo(1 + 9 + 0.5, 12);
    expect(state.cov[placeOf(1, 0)]).toBeCloseTo(3, 12);
  });

  it('leave no variance negative, whatever happens in whatever order', () => {
    const deed = fc.oneof(
      fc.record({ kind: fc.constant('read' as const), a: finite(-2, 2), b: finite(-2, 2), value: finite(-5, 5) }),
      fc.record({ kind: fc.constant('decay' as const), index: fc.nat(2), factor: finite(0, 1) }),
      fc.record({ kind: fc.constant('move' as const), from: fc.nat(2), by: finite(-1, 1) }),
      fc.record({ kind: fc.constant('reset' as const), index: fc.nat(2) }),
    );
    fc.assert(
      fc.property(
        fc.array(deed, { maxLength: 30 }),
        fc.tuple(finite(-1, 1), finite(-1, 1), finite(-1, 1)),
        (deeds, by) => {
          const state = beliefs(3, 1);
          for (const done of deeds) {
            if (done.kind === 'read') observe(state, [0, 1], [done.a, done.b], done.value, 0.1, 2.5);
            if (done.kind === 'decay') decayQuantity(state, done.index, done.factor, 0.01);
            if (done.kind === 'move') moveQuantity(state, (done.from + 1) % 3, 0.1, [done.from], [done.by], 0.001);
            if (done.kind === 'reset') resetQuantity(state, done.index, 0, 0.5);
          }
          for (let i = 0; i < 3; i++) expect(varianceOf(state, i)).toBeGreaterThanOrEqual(0);
          let variance = 0;
          for (let i = 0; i < 3; i++)
            for (let j = 0; j < 3; j++) variance += by[i]! * by[j]! * state.cov[placeOf(i, j)]!;
          expect(variance).toBeGreaterThan(-1e-9);
          expect(linearForm(state, [0, 1, 2], by).variance).toBeCloseTo(Math.max(variance, 0), 9);
        },
      ),
    );
  });
});

describe('a belief that hears the same again and again', () => {
  it('never believes less than nothing of any sum of its quantities', () => {
    // A site's quantities that all its guns share, and each gun's own, as precise observations of their sums tie them together.
    const [shared, guns] = [4, 30];
    const state = beliefs(shared + guns, 1);
    for (let round = 0; round < 4000; round++) {
      const gun = shared + (round % guns);
      const tilt = 0.2 * Math.sin(round);
      observe(state, [0, 1, 2, 3, gun], [1, tilt, -tilt, 0.5 * tilt, 1], 0, 1e-4, 1e9);
      decayQuantity(state, gun, 1, 1e-5);
    }
    const { n, cov } = state;
    // Source: a covariance is positive semidefinite, so Cholesky's factors exist; any textbook on linear algebra.
    const factor = Array.from({ length: n }, () => new Float64Array(n));
    for (let i = 0; i < n; i++)
      for (let j = 0; j <= i; j++) {
        let rest = cov[placeOf(i, j)]!;
        for (let k = 0; k < j; k++) rest -= factor[i]![k]! * factor[j]![k]!;
        if (i === j) expect(rest).toBeGreaterThan(0);
        factor[i]![j] = i === j ? Math.sqrt(rest) : rest / factor[j]![j]!;
      }
  });
});
