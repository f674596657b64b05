import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scratchMedian, scratchSpread } from '../../../analyzer/runs/scratch-median.ts';

const sorted = (values: readonly number[]): number[] => [...values].sort((left, right) => left - right);
const middleOf = (values: readonly number[]): number => {
  const upper = sorted(values)[values.length >> 1]!;
  return values.length % 2 === 1 ? upper : (sorted(values)[(values.length >> 1) - 1]! + upper) / 2;
};
const reading = fc.oneof(
  fc.integer({ min: -3, max: 3 }),
  fc.double({ min: -1e3, max: 1e3, noNaN: true }).map((value) => value + 0),
);
/** Few values and many are gone about differently. */
const readings = fc.oneof(
  fc.array(reading, { minLength: 1, maxLength: 12 }),
  fc.array(reading, { minLength: 40, maxLength: 90 }),
);

describe('scratchMedian and scratchSpread', () => {
  it('give to the last bit what sorting gives', () => {
    fc.assert(
      fc.property(readings, (values) => {
        const median = middleOf(values);
        expect(scratchMedian(Float64Array.from(values), values.length)).toBe(median);
        const spread = 1.4826 * middleOf(values.map((value) => Math.abs(value - median)));
        expect(scratchSpread(Float64Array.from(values), values.length, median)).toBe(spread);
      }),
      { numRuns: 500 },
    );
  });

  it('of nothing give nothing, and of one value no spread', () => {
    expect(scratchMedian(Float64Array.of(1), 0)).toBeNaN();
    expect(scratchSpread(Float64Array.of(1), 0, Number.NaN)).toBeNaN();
    expect(scratchSpread(Float64Array.of(7), 1, 7)).toBe(0);
  });
});
