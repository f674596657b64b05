import { expect, test } from 'vitest';
import { inUnits } from '../../../dashboard/web/words/in-units.ts';

// NIST SP 811 (2008) appendix B: 1 lb = 0.45359237 kg, 1 psi = 6894.757 Pa.
test.each([
  ['interval 1500 kg of powder: 548 kg left', 'interval 3 307 lb of powder: 1 208 lb left'],
  ['conveying air needed for 193 g/min is 11.9 % over', 'conveying air needed for 25.5 lb/h is 11.9 % over'],
  ['for the same flow at 1.1 bar', 'for the same flow at 16 psi'],
  ['flow reads 0.21 m³/h with the trigger released', 'flow reads 0.13 scfm with the trigger released'],
  ['compressors at 7 bar take 0.09 to 0.12 kWh per m³', 'compressors at 102 psi take 2.5 to 3.4 kWh per 1000 ft³'],
  ['60 spray hours: 41 h left, 12 barrels', '60 spray hours: 41 h left, 12 barrels'],
])('%s', (metric, us) => {
  expect(inUnits(metric, 'us').replaceAll('\u202f', ' ')).toBe(us);
});

test('metric quantities keep their decimals and get their thousands set apart', () => {
  expect(inUnits('1381 kg left at 1.10 bar', 'metric').replaceAll('\u202f', ' ')).toBe('1 381 kg left at 1.10 bar');
});
