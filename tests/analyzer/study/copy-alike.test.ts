import { describe, expect, it } from 'vitest';
import { copyAlike } from '../../../analyzer/study/copy-alike.ts';

describe('a copy of plain data', () => {
  const shared = { level: -0, open: [Number.NaN, Number.NEGATIVE_INFINITY, undefined] };
  const data = {
    one: shared,
    two: shared,
    none: null,
    away: undefined,
    names: { 'p-white\n11': 1, '"': 2, __proto: 3, '': 'unread' },
    numbers: Float64Array.of(0.1, -0, Number.NaN),
    places: new Uint8Array([1, 2]),
    nested: [[{ a: 1 }], []],
  };

  it('is what structured cloning makes, to the last bit', () => {
    expect(copyAlike(data)).toStrictEqual(structuredClone(data));
    expect(Object.is(copyAlike(data).one.level, -0)).toBe(true);
  });

  it('shares nothing with what it is of', () => {
    const before = structuredClone(data);
    const copy = copyAlike(data);
    copy.one.open.push(1);
    copy.numbers[0] = 7;
    copy.nested[0]![0]!.a = 2;
    expect(data).toStrictEqual(before);
  });

  it('has once what is referred to twice, and ends where data refers to itself', () => {
    const copy = copyAlike(data);
    expect(copy.one).toBe(copy.two);
    const ring: { self?: object; list: unknown[] } = { list: [] };
    ring.self = ring;
    ring.list.push(ring.list);
    const again = copyAlike(ring);
    expect(again.self).toBe(again);
    expect(again.list[0]).toBe(again.list);
  });

  it('keeps a name that means more in the language', () => {
    const named = JSON.parse('{"__proto__":{"hours":1},"constructor":2}') as object;
    const copy = copyAlike(named);
    expect(Object.keys(copy)).toEqual(['__proto__', 'constructor']);
    expect(Object.getPrototypeOf(copy)).toBe(Object.prototype);
    expect(JSON.stringify(copy)).toBe(JSON.stringify(named));
  });
});
