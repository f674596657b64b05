import { expect, test } from 'vitest';
import type { RuleRow } from '../../../dashboard/server/upkeep/upkeep-model.ts';
import { countShown, intervalWords, ruleOf } from '../../../dashboard/web/plan/interval-counts.ts';

const stated = (value: object | null) => ({ version: 1, value, who: 'Ada', at: 0 });
const ROW = {
  part: 'nozzle',
  usual: { sprayHours: 170, kilograms: 1500, days: null, work: 'check' },
  set: [
    { gun: null, stated: stated({ days: 90 }) },
    { gun: 'gun-01', stated: stated({ sprayHours: 80, kilograms: null }) },
    { gun: 'gun-02', stated: stated(null) },
  ],
} as unknown as RuleRow;

test('what holds for a gun is the usual, changed by the site, changed by the gun', () => {
  expect(ruleOf(ROW, null)).toMatchObject({ sprayHours: 170, kilograms: 1500, days: 90 });
  expect(ruleOf(ROW, 'gun-01')).toMatchObject({ sprayHours: 80, kilograms: null, days: 90 });
  expect(ruleOf(ROW, 'gun-02')).toMatchObject({ sprayHours: 170, kilograms: 1500, days: 90 });
});

// NIST SP 811 (2008) appendix B: 1 lb = 0.45359237 kg.
test('powder is told in the plant’s units', () => {
  expect(intervalWords({ kilograms: 1500, days: 1 }, 'us').replaceAll('\u202f', ' ')).toBe('3 307 lb or 1 day');
  expect(countShown('kilograms', 1500, 'us')).toBe('3306.9');
  expect(countShown('days', null, 'us')).toBe('');
});
