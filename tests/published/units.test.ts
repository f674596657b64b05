import { describe, expect, it } from 'vitest';
import { type Dimension, lookUpUnit, unitsOf } from '../../collector/contract/units.ts';
import factors from './fixtures/C-unit-factors.json' with { type: 'json' };
import senml from './fixtures/E-senml-units.json' with { type: 'json' };

// Sources: NIST SP 811 (2008) appendix B (C-unit-factors); RFC 8428 table 6 and RFC 8798 tables 1 and 2 (E-senml-units).
const f = factors.factors;

const convert = (dimension: Dimension, unit: string, value: number): number => {
  const found = lookUpUnit(dimension, unit);
  if (found.kind !== 'ok') throw new Error(`${unit}: ${found.kind}`);
  return value * found.conversion.scale + found.conversion.offset;
};

describe('units against NIST SP 811', () => {
  it.each([
    ['pressure', '[psi]', 1, f.psi_to_Pa / f.bar_to_Pa],
    ['pressure', 'Pa', f.bar_to_Pa, 1],
    ['pressure', 'hPa', 1, f.mbar_to_Pa / f.bar_to_Pa],
    ['pressure', 'kPa', 250, 2.5],
    ['pressure', 'MPa', 0.6, 6],
    ['volume-flow', '[ft_i]3/min', 1, f.cfm_to_m3_h],
    ['volume-flow', 'L/min', 1, f.l_min_to_m3_h],
    ['volume-flow', 'l/s', 1, f.l_s_to_m3_h],
    ['volume-flow', 'm3/s', 0.001, 3.6],
    ['mass-flow', '[lb_av]/h', 1, f.lb_h_to_g_min],
    ['mass-flow', 'kg/h', 1, f.kg_h_to_g_min],
    ['mass-flow', 'kg/s', 0.003, 180],
    ['mass', '[lb_av]', 1, f.lb_to_g / 1000],
    ['mass', 'g', 500, 0.5],
  ] as const)('converts %s from %s', (dimension, unit, value, expected) => {
    expect(convert(dimension, unit, value) / expected - 1).toBeCloseTo(0, 12);
  });

  // Source: NIST SP 811 section B.8, K = (°F − 32)·5/9 + 273.15; fixed points of water and the scales' crossing.
  it.each([
    ['[degF]', 32, 0],
    ['[degF]', 212, 100],
    ['[degF]', -40, -40],
    ['K', 273.15, 0],
    ['Cel', 23.1, 23.1],
  ] as const)('reads temperatures in %s', (unit, value, expected) => {
    expect(convert('temperature', unit, value)).toBeCloseTo(expected, 12);
  });
});

describe('units against the SenML registry', () => {
  const primary = [...senml.rfc8428_units, ...senml.rfc8798_new_primary].map((unit) => unit.symbol);
  const secondary = senml.rfc8798_secondary.map((unit) => unit.unit);
  const dimensions: Dimension[] = ['pressure', 'volume-flow', 'temperature', 'mass-flow', 'mass'];

  it.each([...primary, ...secondary])('knows the registered unit %s', (unit) => {
    for (const dimension of dimensions) expect(lookUpUnit(dimension, unit).kind).not.toBe('unknown');
    expect(lookUpUnit(null, unit).kind).toBe('wrong-dimension');
  });

  it('takes every registered unit of a dimension that channels have', () => {
    const taken = dimensions.flatMap((dimension) =>
      [...primary, ...secondary].filter((unit) => lookUpUnit(dimension, unit).kind === 'ok'),
    );
    expect(taken.sort()).toEqual(['Cel', 'K', 'Pa', 'g', 'hPa', 'kg', 'l/s', 'm3/s']);
  });

  it('gives secondary units the scale that RFC 8798 gives them', () => {
    const hectopascal = senml.rfc8798_secondary.find((unit) => unit.unit === 'hPa');
    expect(convert('pressure', 'hPa', 1)).toBeCloseTo(convert('pressure', 'Pa', hectopascal?.scale ?? 0), 15);
  });
});

describe('units of the contract', () => {
  it('accepts, of each dimension, the codes of the channel table', () => {
    expect(unitsOf('pressure')).toEqual(expect.arrayContaining(['bar', 'Pa', 'kPa', 'MPa', '[psi]']));
    expect(unitsOf('volume-flow')).toEqual(expect.arrayContaining(['m3/h', 'L/min', 'm3/s', '[ft_i]3/min']));
    expect(unitsOf('temperature')).toEqual(expect.arrayContaining(['Cel', '[degF]', 'K']));
    expect(unitsOf('mass-flow')).toEqual(expect.arrayContaining(['g/min', 'kg/h', 'kg/s', '[lb_av]/h']));
    expect(unitsOf('mass')).toEqual(expect.arrayContaining(['kg', 'g', '[lb_av]']));
  });

  it('tells a unit of something else from one that does not exist', () => {
    expect(lookUpUnit('pressure', 'm3/h').kind).toBe('wrong-dimension');
    expect(lookUpUnit('volume-flow', 'kg').kind).toBe('wrong-dimension');
    expect(lookUpUnit('pressure', 'psi').kind).toBe('unknown');
    expect(lookUpUnit('pressure', 'BAR').kind).toBe('unknown');
    expect(lookUpUnit('pressure', '').kind).toBe('unknown');
    expect(lookUpUnit('pressure', 'constructor').kind).toBe('unknown');
  });
});
