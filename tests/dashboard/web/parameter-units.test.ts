import { expect, test } from 'vitest';
import { parameterInUnits, saidInUnits } from '../../../dashboard/web/settings/parameter-units.ts';

// NIST SP 811 (2008), appendix B: 1 lb = 0.45359237 kg, 1 psi = 6894.757 Pa.
test('statistics behind the settings are told in the units of the hall', () => {
  const us = (value: number, unit: string): string => {
    const told = parameterInUnits(value, unit, 'us');
    return `${told.value.toFixed(3)} ${told.unit}`;
  };
  expect(us(0.1, 'bar of sag')).toBe('1.450 psi of sag');
  expect(us(120, 'g/min at the reference flow')).toBe('15.873 lb/h at the reference flow');
  expect(us(6.48, '% of output per 100 kg')).toBe('2.939 % of output per 100 lb');
  expect(us(5, '% of air')).toBe('5.000 % of air');
  expect(parameterInUnits(0.1, 'bar of sag', 'metric')).toEqual({ value: 0.1, unit: 'bar of sag' });
  expect(saidInUnits('Standard deviation 4 % per 100 kg over plants', 'us')).toBe(
    'Standard deviation 1.8 % per 100 lb over plants',
  );
});
