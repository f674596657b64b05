import { describe, expect, it } from 'vitest';
import { cusumRunLength, ewmaRunLength } from '../../analyzer/detect/run-length/average-run-length.ts';
import { cusumDriftRunLength, ewmaDriftRunLength } from '../../analyzer/detect/run-length/drift-run-length.ts';
import { varyingEwmaRunLength } from '../../analyzer/detect/run-length/varying-limits.ts';
import { fixture } from './fixture.ts';

interface CusumTable {
  readonly zero_state: readonly {
    readonly k: number;
    readonly h: number;
    readonly shift: readonly number[];
    readonly arl_one_sided: readonly number[];
    readonly arl_two_sided: readonly number[];
  }[];
  readonly fast_initial_response: readonly {
    readonly k: number;
    readonly h: number;
    readonly headstart: number;
    readonly shift: readonly number[];
    readonly arl_one_sided: readonly number[];
    readonly arl_two_sided: readonly number[];
  }[];
}

interface EwmaTable {
  readonly zero_state: readonly {
    readonly lambda: number;
    readonly L: number;
    readonly shift: readonly number[];
    readonly arl_two_sided_fixed_limits: readonly number[];
    readonly arl_two_sided_time_varying_limits: readonly number[];
  }[];
  readonly one_sided: readonly {
    readonly lambda: number;
    readonly L: number;
    readonly shift: readonly number[];
    readonly arl_one_sided_upper: readonly number[];
  }[];
}

interface DriftTable {
  readonly cusum: readonly {
    readonly k: number;
    readonly h: number;
    readonly delta: readonly number[];
    readonly arl_one_sided: readonly number[];
  }[];
  readonly ewma: readonly {
    readonly lambda: number;
    readonly L: number;
    readonly delta: readonly number[];
    readonly arl_two_sided: readonly number[];
  }[];
}

/** A run length of 4e7 costs eight of double precision's digits in the linear system; all below it agree more closely. */
const TOLERANCE = 1e-7;

/** The table carries settling limits for a finite number of samples only. */
const SETTLING_TOLERANCE = 1e-6;

/** The table itself stops adding terms at about this share. */
const DRIFT_TOLERANCE = 5e-7;

const relative = (actual: number, expected: number): number => Math.abs(actual / expected - 1);

describe('average run lengths against CRAN package spc', () => {
  const cusum = fixture<CusumTable>('A-arl-cusum');
  const ewma = fixture<EwmaTable>('A-arl-ewma');
  const drift = fixture<DriftTable>('A-arl-drift');

  for (const row of cusum.zero_state)
    it(`agree for a CUSUM with slack ${row.k} and limit ${row.h} over all shifts, one- and two-sided`, () => {
      const design = { slack: row.k, limit: row.h };
      for (const [index, shift] of row.shift.entries()) {
        expect(relative(cusumRunLength(design, shift, 'one'), row.arl_one_sided[index]!)).toBeLessThan(TOLERANCE);
        expect(relative(cusumRunLength(design, shift, 'two'), row.arl_two_sided[index]!)).toBeLessThan(TOLERANCE);
      }
    });

  for (const row of cusum.fast_initial_response)
    it(`agree for a CUSUM with slack ${row.k}, limit ${row.h} and head start ${row.headstart}`, () => {
      const design = { slack: row.k, limit: row.h, headStart: row.headstart };
      for (const [index, shift] of row.shift.entries()) {
        expect(relative(cusumRunLength(design, shift, 'one'), row.arl_one_sided[index]!)).toBeLessThan(TOLERANCE);
        expect(relative(cusumRunLength(design, shift, 'two'), row.arl_two_sided[index]!)).toBeLessThan(TOLERANCE);
      }
    });

  for (const row of ewma.zero_state)
    it(`agree for an EWMA with lambda ${row.lambda} and limit ${row.L} over all shifts`, () => {
      for (const [index, shift] of row.shift.entries())
        expect(
          relative(ewmaRunLength({ lambda: row.lambda, limit: row.L }, shift), row.arl_two_sided_fixed_limits[index]!),
        ).toBeLessThan(TOLERANCE);
    });

  for (const row of ewma.zero_state)
    it(`agree for an EWMA with settling limits, lambda ${row.lambda} and limit ${row.L}`, () => {
      for (const [index, shift] of row.shift.entries())
        expect(
          relative(
            varyingEwmaRunLength({ lambda: row.lambda, limit: row.L }, shift),
            row.arl_two_sided_time_varying_limits[index]!,
          ),
        ).toBeLessThan(SETTLING_TOLERANCE);
    });

  for (const row of ewma.one_sided)
    it(`agree for a one-sided EWMA held at the target with lambda ${row.lambda} and limit ${row.L}`, () => {
      for (const [index, shift] of row.shift.entries())
        expect(
          relative(
            ewmaRunLength({ lambda: row.lambda, limit: row.L, sides: 'one' }, shift),
            row.arl_one_sided_upper[index]!,
          ),
        ).toBeLessThan(TOLERANCE);
    });

  for (const row of drift.cusum)
    it(`agree under linear drift for a CUSUM with slack ${row.k} and limit ${row.h}`, () => {
      for (const [index, delta] of row.delta.entries())
        expect(
          relative(cusumDriftRunLength({ slack: row.k, limit: row.h }, delta), row.arl_one_sided[index]!),
        ).toBeLessThan(DRIFT_TOLERANCE);
    });

  for (const row of drift.ewma)
    it(`agree under linear drift for an EWMA with lambda ${row.lambda} and limit ${row.L}`, () => {
      for (const [index, delta] of row.delta.entries())
        expect(
          relative(ewmaDriftRunLength({ lambda: row.lambda, limit: row.L }, delta), row.arl_two_sided[index]!),
        ).toBeLessThan(DRIFT_TOLERANCE);
    });
});

describe('average run lengths as printed', () => {
  // Source: NIST/SEMATECH e-Handbook 6.3.2.3.1: 336 and 8.38 for h 4; 930 and 10.4 for h 5 (slack 0.5, one-sided).
  it('are those of the NIST handbook for slack 0.5', () => {
    expect(cusumRunLength({ slack: 0.5, limit: 4 }, 0, 'one')).toBeCloseTo(336, -1);
    expect(cusumRunLength({ slack: 0.5, limit: 4 }, 1, 'one')).toBeCloseTo(8.38, 2);
    expect(cusumRunLength({ slack: 0.5, limit: 5 }, 0, 'one')).toBeCloseTo(930, -1);
    expect(cusumRunLength({ slack: 0.5, limit: 5 }, 1, 'one')).toBeCloseTo(10.4, 1);
  });
});
