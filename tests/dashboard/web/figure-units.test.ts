import { expect, test } from 'vitest';
import { figureLabel, figureShown, figureTyped } from '../../../dashboard/web/cost/figure-units.ts';

test('a shop with US units states its figures for pounds and standard cubic feet', () => {
  expect(figureLabel('powderPrice', 'us')).toBe('Price of a lb of powder');
  // NIST SP 811 (2008) appendix B: 1 lb = 0.45359237 kg; 4.8 a kg is 2.177 a lb.
  expect(figureShown('powderPrice', 4.8, 'us')).toBe('2.177');
  // 1 Nm3 (0 °C, 1013.25 hPa) is 37.90 scf (68 °F, 14.696 psi): 0.12 kWh/Nm3 is 3.166 kWh for 1000 scf.
  expect(figureShown('specificEnergy', 0.12, 'us')).toBe('3.166');
  expect(figureTyped('powderPrice', '2,5', 4.8, 'us')).toBeCloseTo(2.5 / 0.45359237, 10);
  expect(figureTyped('energyPrice', '0.3', null, 'us')).toBe(0.3);
});

test('what nobody changed stays what it was to the last digit', () => {
  for (const units of ['metric', 'us'] as const)
    expect(figureTyped('specificEnergy', figureShown('specificEnergy', 0.1234567, units), 0.1234567, units)).toBe(
      0.1234567,
    );
});

test('nothing is null, and what is no number goes on to be refused by name', () => {
  expect(figureTyped('powderPrice', ' ', 4.8, 'us')).toBeNull();
  expect(figureTyped('powderPrice', 'dear', 4.8, 'us')).toBe('dear');
});
