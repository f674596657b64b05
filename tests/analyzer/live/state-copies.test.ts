import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { StateCopies } from '../../../analyzer/live/state-copies.ts';

const numbers = fc.array(fc.double(), { maxLength: 5 }).map((values) => Float64Array.from(values));
const { state } = fc.letrec((again) => ({
  state: fc.oneof(
    { maxDepth: 4 },
    fc.constantFrom(null, true, '', Number.NaN, -0, undefined),
    fc.double(),
    fc.string(),
    numbers,
    numbers.map((values) => Int32Array.from(values)),
    fc.array(again('state'), { maxLength: 4 }),
    fc.dictionary(fc.string(), again('state'), { maxKeys: 4, noNullPrototype: true }),
    fc.array(fc.tuple(fc.string(), again('state')), { maxLength: 3 }).map((pairs) => new Map(pairs)),
    fc.array(fc.string(), { maxLength: 3 }).map((values) => new Set(values)),
  ),
}));

describe('copies of a state', () => {
  it('are what structured cloning makes of it, however often they are made', () => {
    fc.assert(
      fc.property(fc.array(state, { minLength: 1, maxLength: 5 }), (states) => {
        const copies = new StateCopies();
        for (const one of states) expect(copies.copy(one)).toStrictEqual(structuredClone(one));
      }),
    );
  });

  it('share nothing with the state', () => {
    const mine = { belief: { mean: Float64Array.of(1, 2), list: [{ n: 1 }] } };
    const copies = new StateCopies();
    for (let round = 0; round < 2; round++) {
      const copy = copies.copy(mine);
      copy.belief.mean[0] = 9;
      copy.belief.list[0]!.n = 9;
    }
    expect(mine).toStrictEqual({ belief: { mean: Float64Array.of(1, 2), list: [{ n: 1 }] } });
  });

  it('use the number arrays of the copy before, and let go of those that no longer fit', () => {
    const copies = new StateCopies();
    const [first, second] = [{ a: Float64Array.of(1, 2), b: Float64Array.of(3) }, { a: Float64Array.of(4, 5) }];
    const before = copies.copy(first);
    const [a, b] = [before.a, before.b];
    expect(copies.copy(second).a).toBe(a);
    expect([...a]).toEqual([4, 5]);
    expect(copies.copy(first).b).not.toBe(b);
  });

  it('keep what is referred to twice one thing, and rings closed', () => {
    const shared = Float64Array.of(1);
    const mine: { left: Float64Array; right: Float64Array; self?: object } = { left: shared, right: shared };
    mine.self = mine;
    const copies = new StateCopies();
    copies.copy({ left: Float64Array.of(7), right: Float64Array.of(8) });
    const copy = copies.copy(mine);
    expect(copy.left).toBe(copy.right);
    expect(copy.self).toBe(copy);
  });

  it('refuse what is no plain data', () => {
    const copies = new StateCopies();
    expect(() => copies.copy({ at: new Date(0) })).toThrow(/holds a Date, expected plain data/);
    expect(() => copies.copy({ do: () => 0 })).toThrow(/holds a function/);
  });
});
