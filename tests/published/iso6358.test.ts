import { describe, expect, it } from 'vitest';
import {
  ANR_PER_NORMAL,
  conductanceFromFlow,
  restrictionFlow,
  restrictionMassFlow,
} from '../../analyzer/physics/iso6358.ts';
import { fixture } from './fixture.ts';

interface Iso6358 {
  readonly cases: readonly {
    readonly C_dm3_s_bar: number;
    readonly b: number;
    readonly p1_bar_abs: number;
    readonly p2_bar_abs: number;
    readonly T1_K: number;
    readonly qm_kg_s: number;
    readonly qv_ANR_m3_h: number;
  }[];
}

// Source: ISO 6358-1:2013 formula, ten cases through and around the critical ratio; see the fixture.
const { cases } = fixture<Iso6358>('C-iso6358');

describe('ISO 6358 restriction', () => {
  for (const row of cases) {
    const restriction = { conductance: row.C_dm3_s_bar, criticalRatio: row.b };
    const state = { upstreamBar: row.p1_bar_abs, downstreamBar: row.p2_bar_abs, upstreamKelvin: row.T1_K };
    const name = `C ${row.C_dm3_s_bar}, b ${row.b}, ${row.p1_bar_abs} to ${row.p2_bar_abs} bar at ${row.T1_K} K`;

    it(`passes the published flow and mass flow for ${name}`, () => {
      expect(restrictionFlow(restriction, state) * ANR_PER_NORMAL).toBeCloseTo(row.qv_ANR_m3_h, 9);
      expect(restrictionMassFlow(restriction, state)).toBeCloseTo(row.qm_kg_s, 12);
    });

    it(`is found again from that flow for ${name}`, () => {
      const found = conductanceFromFlow(row.qv_ANR_m3_h / ANR_PER_NORMAL, row.b, state);
      if (row.p2_bar_abs < row.p1_bar_abs) expect(found).toBeCloseTo(row.C_dm3_s_bar, 9);
      else expect(found).toBeNaN();
    });
  }

  it('turns DIN 1343 into ANR volumes by the published factor', () => {
    expect(ANR_PER_NORMAL).toBeCloseTo(1.087440005, 9);
  });
});
