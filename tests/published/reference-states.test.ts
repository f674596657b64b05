import { describe, expect, it } from 'vitest';
import { toDin1343 } from '../../collector/contract/reference-states.ts';
import fixture from './fixtures/C-reference-conditions.json' with { type: 'json' };

// Sources: DIN 1343:1990, ISO 2533:1975, ISO 8778:2003, 14.696 psi practice; exact ideal-gas ratios in the fixture.
const factor = fixture.volume_factor_from_row_to_column;

describe('reference states', () => {
  it.each([
    ['din1343', factor.N_DIN1343.N_DIN1343],
    ['iso2533', factor.S_ISO2533.N_DIN1343],
    ['iso8778', factor.ANR_ISO8778.N_DIN1343],
    ['scfm68', factor.SCF_68F_14696.N_DIN1343],
    ['scfm60', factor.SCF_60F_14696.N_DIN1343],
  ] as const)('converts %s to DIN 1343 as an ideal gas', (state, expected) => {
    expect(toDin1343(state) / expected - 1).toBeCloseTo(0, 12);
  });

  it('turns one scfm at 60 °F into the published normal cubic metres per hour', () => {
    const cubicFootPerMinuteM3h = 1.69901079552;
    expect(cubicFootPerMinuteM3h * toDin1343('scfm60')).toBeCloseTo(fixture.scfm_60F_14696_to_nm3h, 12);
  });
});
