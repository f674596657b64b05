import { describe, expect, it } from 'vitest';
import { CRITICAL_RATIO, orificeFlow, orificeMassFlow } from '../../analyzer/physics/orifice.ts';
import { fixture } from './fixture.ts';

interface Choked {
  readonly critical_ratio: number;
  readonly choked: readonly {
    readonly d_mm: number;
    readonly p0_abs_Pa: number;
    readonly T0_K: number;
    readonly Cd: number;
    readonly mdot_kg_s: number;
    readonly flow_Nm3_h: number;
  }[];
  readonly through_the_critical_ratio: readonly {
    readonly d_mm: number;
    readonly p0_abs_Pa: number;
    readonly p2_abs_Pa: number;
    readonly T0_K: number;
    readonly Cd: number;
    readonly mdot_kg_s: number;
  }[];
}

describe('choked orifice', () => {
  // Source: isentropic nozzle flow, NASA Glenn; gas constant of ISO 2533; see the fixture.
  const { critical_ratio, choked, through_the_critical_ratio } = fixture<Choked>('C-choked-orifice');

  it('chokes at the published ratio', () => {
    expect(CRITICAL_RATIO).toBeCloseTo(critical_ratio, 12);
  });

  it.each(choked)('passes the published flow for $d_mm mm at $p0_abs_Pa Pa, coefficient $Cd', (row) => {
    const orifice = { diameterMm: row.d_mm, discharge: row.Cd };
    const state = { upstreamBar: row.p0_abs_Pa / 1e5, downstreamBar: 1, upstreamKelvin: row.T0_K };
    expect(orificeMassFlow(orifice, state) / row.mdot_kg_s).toBeCloseTo(1, 9);
    expect(orificeFlow(orifice, state) / row.flow_Nm3_h).toBeCloseTo(1, 9);
  });

  it.each(through_the_critical_ratio)('passes the published flow into $p2_abs_Pa Pa', (row) => {
    const state = { upstreamBar: row.p0_abs_Pa / 1e5, downstreamBar: row.p2_abs_Pa / 1e5, upstreamKelvin: row.T0_K };
    expect(orificeMassFlow({ diameterMm: row.d_mm, discharge: row.Cd }, state) / row.mdot_kg_s).toBeCloseTo(1, 9);
  });
});

interface LeakTable {
  readonly table: {
    readonly pressure_psig: readonly number[];
    readonly orifice_inch: readonly string[];
    readonly cfm: readonly (readonly number[])[];
    readonly ideal_Cd1_cfm: readonly (readonly number[])[];
  };
}

describe('leak table', () => {
  // Source: US DOE, Improving Compressed Air System Performance; ideal flow at 70 °F and 14.7 psia.
  const { table } = fixture<LeakTable>('C-leak-table');
  const PSI_BAR = 0.0689475729316836;
  const KELVIN_70F = (70 + 459.67) / 1.8;
  const M3_PER_FT3 = 0.028316846592;
  const density = (14.7 * PSI_BAR * 1e5) / (287.05287 * KELVIN_70F);
  const inches = (fraction: string): number => {
    const [above, below] = fraction.split('/').map(Number);
    return above! / below!;
  };
  /** Cubic feet a minute of free air through an ideal nozzle. */
  const idealCfm = (psig: number, fraction: string): number => {
    const state = { upstreamBar: (psig + 14.7) * PSI_BAR, downstreamBar: 14.7 * PSI_BAR, upstreamKelvin: KELVIN_70F };
    return ((orificeMassFlow({ diameterMm: inches(fraction) * 25.4 }, state) / density) * 60) / M3_PER_FT3;
  };

  it.each(table.pressure_psig.map((psig, row) => ({ psig, row })))('is met at $psig psig', ({ psig, row }) => {
    for (const [column, fraction] of table.orifice_inch.entries()) {
      expect(idealCfm(psig, fraction) / table.ideal_Cd1_cfm[row]![column]!).toBeCloseTo(1, 6);
      // The table holds a discharge coefficient of about 0.967; small holes are printed to two digits only.
      expect(Math.abs((idealCfm(psig, fraction) * 0.967) / table.cfm[row]![column]! - 1)).toBeLessThan(0.035);
    }
  });
});
