import { expect, test } from 'vitest';
import { flow, output, percent, pressure, sureness, told } from '../../../dashboard/web/words/units.ts';
import { fixture } from '../../published/fixture.ts';

interface States {
  readonly volume_factor_from_row_to_column: Record<string, Record<string, number>>;
}
interface Factors {
  readonly factors: Record<string, number>;
}

// Source: exact p/T ratio of DIN 1343 and 68 °F, 14.696 psi; foot and pound of 1959; NIST SP 811 appendix B.
const states = fixture<States>('C-reference-conditions').volume_factor_from_row_to_column;
const { factors } = fixture<Factors>('C-unit-factors');

test('normal cubic metres an hour become standard cubic feet a minute at 68 °F and 14.696 psi', () => {
  const expected = (states.N_DIN1343?.SCF_68F_14696 as number) * (factors.m3_h_to_cfm as number);
  expect(flow(1, 'us').value).toBeCloseTo(expected, 8);
  expect(flow(3.31, 'us').unit).toBe('scfm');
  expect(flow(3.31, 'metric')).toEqual({ value: 3.31, unit: 'm³/h' });
});

test('bar become psi, and g/min become lb/h', () => {
  expect(pressure(1, 'us').value).toBeCloseTo((factors.bar_to_Pa as number) / (factors.psi_to_Pa as number), 8);
  expect(output(1, 'us').value).toBeCloseTo(factors.g_min_to_lb_h as number, 10);
});

test('a quantity is told with its unit', () => {
  expect(told(flow(3.314, 'metric'), 2)).toBe('3.31\u202fm³/h');
  expect(percent(0.118)).toBe('12\u202f%');
});

test('nobody is told that something is certain', () => {
  expect([0.997, 0.994, 0.5, 0.004].map(sureness)).toEqual(['99\u202f%', '99\u202f%', '50\u202f%', '1\u202f%']);
});
