import { describe, expect, test } from 'vitest';
import { lookOf } from '../../../collector/contract/history-look.ts';
import { gestured, moved, type Span, searchOf, typedSpan, zoomed } from '../../../dashboard/web/history/look.ts';

const HOUR = 3_600_000;
const span: Span = { from: 1000 * HOUR, to: 1010 * HOUR };
const at = ({ from, to }: Span, share: number): number => from + (to - from) * share;

describe('a look at a span', () => {
  test('nearer and farther keep what is under the pointer', () => {
    expect(zoomed(span, 0.5)).toEqual({ from: 1002.5 * HOUR, to: 1007.5 * HOUR });
    const nearer = zoomed(span, 0.1, 0.3);
    expect(at(nearer, 0.3)).toBeCloseTo(at(span, 0.3), -1);
    expect(zoomed(nearer, 10, 0.3)).toEqual(span);
  });

  test('never gets shorter than a trigger pull, longer than is answered, or older than readings can be', () => {
    let look = span;
    for (let press = 0; press < 60; press++) look = zoomed(look, 0.5);
    expect(look.to - look.from).toBe(10_000);
    for (let press = 0; press < 60; press++) look = zoomed(look, 2);
    expect(look.from).toBe(0);
    expect(look.to - look.from).toBeLessThan(20 * 366 * 24 * HOUR);
    expect(moved(look, -3)).toEqual(look);
  });

  test('one finger moves it, two keep what they touched under them', () => {
    expect(gestured(span, [0.5], [0.6])).toEqual({ from: 999 * HOUR, to: 1009 * HOUR });
    const pinched = gestured(span, [0.4, 0.6], [0.2, 0.9]);
    expect(at(pinched, 0.2)).toBeCloseTo(at(span, 0.4), -1);
    expect(at(pinched, 0.9)).toBeCloseTo(at(span, 0.6), -1);
  });

  test('fingers that meet ask for a long span, not for one without end', () => {
    const { from, to } = gestured(span, [0.2, 0.8], [0.5, 0.5]);
    expect(to - from).toBeCloseTo(300 * HOUR, -1);
  });

  test('that is typed is taken as it stands, or one sentence says what is wrong with it', () => {
    expect(typedSpan(span.from, span.to)).toEqual(span);
    expect(typedSpan(null, span.to)).toBe('From: expected a date and a time.');
    expect(typedSpan(span.from, null)).toBe('To: expected a date and a time.');
    expect(typedSpan(-1, span.to)).toBe('From: expected a time from 1970 on.');
    expect(typedSpan(span.to, span.to)).toBe('The span ends before it begins: expected “to” after “from”.');
    expect(typedSpan(span.from, span.from + 9999)).toBe('The span is too short: expected at least 10 seconds.');
    expect(typedSpan(span.from, span.from + 10_000)).toEqual({ from: span.from, to: span.from + 10_000 });
    expect(typedSpan(0, 21 * 365 * 24 * HOUR)).toBe('The span is too long: expected at most 20 years.');
  });

  test('goes through its address and back', () => {
    const look = { gun: 'gun-01', other: 'gun-02', ...span };
    expect(lookOf(searchOf(look))).toEqual(look);
    expect(lookOf('?from=never')).toMatchObject({ from: null, gun: null });
  });
});
