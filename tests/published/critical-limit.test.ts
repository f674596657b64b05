import { describe, expect, it } from 'vitest';
import { cusumLimit, ewmaLimit } from '../../analyzer/detect/run-length/critical-limit.ts';
import { fixture } from './fixture.ts';

interface CusumLimits {
  readonly critical_h: readonly {
    readonly k: number;
    readonly L0: number;
    readonly h_one: number;
    readonly h_two: number;
  }[];
}
interface EwmaLimits {
  readonly critical_L: readonly {
    readonly lambda: number;
    readonly L0: number;
    readonly L_two_fixed: number;
    readonly L0b: number;
    readonly L_two_fixed_b: number;
  }[];
}

// Source: xcusum.crit and xewma.crit of CRAN package spc 0.6.7, which stop at about 1e-7.
describe('critical limits', () => {
  for (const { k, L0, h_one, h_two } of fixture<CusumLimits>('A-arl-cusum').critical_h)
    it(`of a CUSUM with slack ${k} keep ${L0} samples between false alarms`, () => {
      expect(cusumLimit(k, 'one', { samples: L0 })).toBeCloseTo(h_one, 6);
      expect(cusumLimit(k, 'two', { samples: L0 })).toBeCloseTo(h_two, 6);
    });

  for (const { lambda, L0, L_two_fixed, L0b, L_two_fixed_b } of fixture<EwmaLimits>('A-arl-ewma').critical_L)
    it(`of an EWMA with lambda ${lambda} keep ${L0} and ${L0b} samples between false alarms`, () => {
      expect(ewmaLimit(lambda, 'two', { samples: L0 })).toBeCloseTo(L_two_fixed, 6);
      expect(ewmaLimit(lambda, 'two', { samples: L0b })).toBeCloseTo(L_two_fixed_b, 6);
    });
});
