import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { backPressureBar, loadingRatio } from '../../../simulators/physics/hose.ts';
import { excessForLoss, liftedPowder, lossForExcess, neededAir } from '../../../simulators/physics/throat.ts';
import { VELOCITY_EXPONENT, wearPerKilogram } from '../../../simulators/physics/wear.ts';
import { fixture } from '../../published/fixture.ts';

const CURVE = { thresholdNm3h: 0.5, supplementaryShift: 0.1, kneeNm3h: 0.4, bend: 1.4, slope: 180, saturationNm3h: 5 };

describe('what a pump lifts', () => {
  it('is nothing up to the threshold, then convex, then saturating', () => {
    const at = (q: number): number => liftedPowder(CURVE, q, 1);
    const bend = (q: number): number => at(q + 0.05) - 2 * at(q) + at(q - 0.05);
    expect(at(0.6)).toBe(0);
    expect(bend(0.75)).toBeGreaterThan(0);
    expect(bend(4)).toBeLessThan(0);
  });

  it('needs the air that lifts it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 500, noNaN: true }),
        fc.double({ min: 0, max: 4, noNaN: true }),
        (output, supplementary) => {
          expect(liftedPowder(CURVE, neededAir(CURVE, output, supplementary), supplementary)).toBeCloseTo(output, 6);
        },
      ),
    );
  });

  it('loses as much as the excess air makes up for', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 0.6, noNaN: true }),
        fc.double({ min: 40, max: 250, noNaN: true }),
        (excess, output) => {
          expect(excessForLoss(CURVE, output, 1, lossForExcess(CURVE, output, 1, excess))).toBeCloseTo(excess, 8);
        },
      ),
    );
  });

  it('asks for less extra air at small outputs than at large ones, for one loss', () => {
    const small = excessForLoss(CURVE, 110, 1, 0.15);
    const large = excessForLoss(CURVE, 230, 1, 0.15);
    expect(large / small).toBeGreaterThan(1.2);
    expect(large / small).toBeLessThan(2);
  });
});

describe('the cloud in the hose', () => {
  interface Conveying {
    readonly loading_ratio: {
      readonly cases: readonly Record<'powder_g_min' | 'total_air_Nm3_h' | 'solids_loading', number>[];
    };
  }
  // Source: definition over the DIN 1343 density of dry air, four cases; see the fixture.
  for (const one of fixture<Conveying>('D-pneumatic-conveying').loading_ratio.cases)
    it(`is loaded ${one.solids_loading} by ${one.powder_g_min} g/min in ${one.total_air_Nm3_h} m3/h`, () => {
      expect(loadingRatio(one.powder_g_min, one.total_air_Nm3_h)).toBeCloseTo(one.solids_loading, 9);
    });

  it('presses back in a straight line with its loading', () => {
    const at = (output: number): number => backPressureBar(0.015, 4, output);
    expect(at(300) - at(150)).toBeCloseTo(at(150) - at(0), 12);
  });
});

describe('wear of a kilogram', () => {
  it('grows by the published exponent of velocity', () => {
    // Source: reference tables on erosion, n = 2.4: 10 % more velocity wears 1.257021 times as fast.
    expect(VELOCITY_EXPONENT).toBe(2.4);
    expect(wearPerKilogram(2.2, 2, 1)).toBeCloseTo(1.257021, 6);
  });
});
