import { describe, expect, it } from 'vitest';
import { iso6358Flow, nozzleConductance, nozzleMassFlow } from '../../../simulators/physics/restriction.ts';
import { fixture } from '../../published/fixture.ts';

interface Iso6358 {
  readonly cases: readonly Record<
    'C_dm3_s_bar' | 'b' | 'p1_bar_abs' | 'p2_bar_abs' | 'T1_K' | 'qv_ANR_dm3_s',
    number
  >[];
  readonly C_of_ideal_nozzle_per_mm2: { readonly C_dm3_s_bar_for_d_1mm: number };
}
interface Orifice {
  readonly choked: readonly Record<'d_mm' | 'p0_abs_Pa' | 'T0_K' | 'Cd' | 'mdot_kg_s', number>[];
  readonly through_the_critical_ratio: readonly Record<
    'd_mm' | 'p0_abs_Pa' | 'p2_abs_Pa' | 'T0_K' | 'Cd' | 'mdot_kg_s',
    number
  >[];
}

describe('flow through the simulated nozzle', () => {
  // Source: ISO 6358-1:2013 formula, ten cases; see the fixture.
  const iso = fixture<Iso6358>('C-iso6358');
  for (const one of iso.cases)
    it(`is the standard's for C ${one.C_dm3_s_bar}, b ${one.b}, ${one.p1_bar_abs} to ${one.p2_bar_abs} bar, ${one.T1_K} K`, () => {
      const flow = iso6358Flow(one.C_dm3_s_bar, one.b, one.p1_bar_abs, one.p2_bar_abs, one.T1_K);
      expect(flow).toBeCloseTo(one.qv_ANR_dm3_s, 9);
    });

  it('has the conductance of an ideal nozzle of its bore', () => {
    // Source: fixture, computed from the choked mass flow and the ANR density of the standard.
    expect(nozzleConductance(1, 1)).toBeCloseTo(iso.C_of_ideal_nozzle_per_mm2.C_dm3_s_bar_for_d_1mm, 9);
    expect(nozzleConductance(1.6, 0.8)).toBeCloseTo(0.8 * 1.6 ** 2 * nozzleConductance(1, 1), 12);
  });

  // Source: isentropic choked flow, NASA Glenn Research Center, Mass Flow Choking; see the fixture.
  const orifice = fixture<Orifice>('C-choked-orifice');
  for (const one of orifice.choked)
    it(`chokes at ${one.mdot_kg_s} kg/s for ${one.d_mm} mm and ${one.p0_abs_Pa} Pa`, () => {
      expect(nozzleMassFlow(one.d_mm, one.p0_abs_Pa, 1e5, one.T0_K, one.Cd) / one.mdot_kg_s).toBeCloseTo(1, 9);
    });
  for (const one of orifice.through_the_critical_ratio)
    it(`passes ${one.mdot_kg_s} kg/s from ${one.p0_abs_Pa} to ${one.p2_abs_Pa} Pa`, () => {
      expect(nozzleMassFlow(one.d_mm, one.p0_abs_Pa, one.p2_abs_Pa, one.T0_K, one.Cd) / one.mdot_kg_s).toBeCloseTo(
        1,
        9,
      );
    });
});
