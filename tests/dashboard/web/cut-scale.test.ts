import { expect, test } from 'vitest';
import { cutScale } from '../../../dashboard/web/history/cut-scale.ts';
import type { Line } from '../../../dashboard/web/history/line.ts';

const line = (values: readonly (number | null | undefined)[], high: Line['values'] | null = null): Line => ({
  ...{ label: 'Flowing', dash: 'solid', faint: false, values },
  band: high === null ? null : { low: values, high },
});
const two = (count: number): number[] => Array.from({ length: count }, () => 2);

test('a broken sensor’s week does not flatten two years, a worn insert’s rise is drawn in full', () => {
  const years = [...two(95), 2.6, 3.3, 34.5, 34.5, 30];
  expect(cutScale([line(years)])).toEqual({ top: 3.3, highest: 34.5 });
  expect(cutScale([line([...two(95), 2.6, 3.3])])).toBeNull();
});

test('the band counts, gaps do not, and another gun’s line is on the same scale', () => {
  const high = [...two(99), 13];
  expect(cutScale([line(two(100), high)])).toEqual({ top: 2, highest: 13 });
  expect(cutScale([line([null, undefined, 2, null, 2])])).toBeNull();
  expect(cutScale([line(two(80)), line([...two(80), 40])])).toEqual({ top: 2, highest: 40 });
});

test('six times the usual is still on the scale; where a tenth stands as high, that is the picture', () => {
  expect(cutScale([line([...two(99), 12])])).toBeNull();
  expect(cutScale([line([...two(99), 12.1])])).toEqual({ top: 2, highest: 12.1 });
  expect(cutScale([line([...two(90), ...Array(10).fill(34)])])).toEqual({ top: 2, highest: 34 });
  expect(cutScale([line([...two(89), ...Array(11).fill(34)])])).toBeNull();
});

test('nothing measured, or nothing above zero, has no cut', () => {
  expect(cutScale([])).toBeNull();
  expect(cutScale([line([null])])).toBeNull();
  expect(cutScale([line([0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 5])])).toBeNull();
});
