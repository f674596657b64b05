import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addQuantity, addTrace, emptyGaussian, placeOf } from '../../../analyzer/baseline/gaussian-state.ts';
import { grownNumbers } from '../../../analyzer/baseline/grown-numbers.ts';
import { moveQuantity } from '../../../analyzer/baseline/move-quantity.ts';

describe('an array of numbers that grows', () => {
  it('takes new memory a dozen times on its way from one number to ten thousand', () => {
    let values: Float64Array = new Float64Array(0);
    const memory = new Set<ArrayBufferLike>();
    for (let length = 1; length <= 10_000; length++) {
      values = grownNumbers(values, length);
      values[length - 1] = length;
      memory.add(values.buffer);
    }
    expect(values.every((value, index) => value === index + 1)).toBe(true);
    expect(memory.size).toBeLessThan(45);
  });

  it('never grows into memory that is not its own', () => {
    const both = Float64Array.of(1, 2, 3, 4);
    const grown = grownNumbers(both.subarray(0, 2), 3);
    grown[2] = 9;
    expect([...both]).toEqual([1, 2, 3, 4]);
    // A copy of an array with room is one without.
    const copied = structuredClone(grown);
    expect(grownNumbers(copied, 4).buffer).not.toBe(copied.buffer);
  });
});

describe('a belief that grows', () => {
  it('keeps all that was believed, independent of what joins, however it was cloned in between', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ sd: fc.double({ min: 0.1, max: 3, noNaN: true }), clone: fc.boolean() })),
        (adds) => {
          let state = emptyGaussian();
          let expected: number[][] = [];
          for (const { sd, clone } of adds) {
            if (clone) state = structuredClone(state);
            const index = addQuantity(state, sd, sd * sd);
            expected = [...expected.map((row) => [...row, 0]), [...expected.map(() => 0), sd * sd]];
            if (index === 1) addTrace(state);
            if (index > 0) {
              moveQuantity(state, index, 0, [index - 1], [0.5], 0);
              const from = expected[index - 1]!;
              const moved = from.map((value, j) => (j === index ? 0 : 0.5 * value));
              moved[index] = sd * sd + 0.25 * from[index - 1]!;
              expected[index] = moved;
              for (let j = 0; j < index; j++) expected[j]![index] = moved[j]!;
            }
          }
          expect(state.cov).toHaveLength((adds.length * (adds.length + 1)) / 2);
          for (const [i, row] of expected.entries())
            for (const [j, value] of row.entries()) expect(state.cov[placeOf(i, j)]).toBeCloseTo(value, 9);
          for (const { astray } of state.traces) expect(astray).toEqual(new Float64Array(adds.length));
        },
      ),
    );
  });
});
