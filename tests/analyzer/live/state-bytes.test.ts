import { serialize } from 'node:v8';
import { deflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { packState, unpackState } from '../../../analyzer/live/state-bytes.ts';

const state = (values: number) => ({
  facts: [{ kind: 'silence', until: null }],
  last: Number.NaN,
  columns: [Float64Array.from({ length: values }, (_, index) => index % 7), Int32Array.of(1, -2)],
  seen: new Map([['gun-01', 3]]),
});

test('a state comes back as it was, packed or not', () => {
  for (const values of [0, 10, 400, 600, 5000]) expect(unpackState(packState(state(values)))).toEqual(state(values));
  fc.assert(
    fc.property(fc.anything({ withNullPrototype: false }), (any) => {
      expect(unpackState(packState(any))).toEqual(any);
    }),
  );
});

test('small states are written as they are, large ones packed', () => {
  const [small, large] = [state(10), state(5000)];
  expect(Buffer.from(packState(small))).toEqual(serialize(small));
  expect(packState(large).length).toBeLessThan(serialize(large).length / 10);
});

test('small states that were packed by an earlier version are read', () => {
  const packed = deflateRawSync(serialize(state(10)), { level: 1 });
  expect(unpackState(packed)).toEqual(state(10));
});
