import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Detector, Verdict } from '../../../analyzer/detect/detector.ts';
import { detectors } from '../../reference-detectors/detectors.ts';
import { seededNormal } from '../../seeded-normal.ts';

type Any = Detector<Record<string, unknown>, object>;

/** Settings that alarm soon, so that the shared checks see every verdict. */
const settingsOf: Record<string, readonly object[]> = {
  cusum: [{ limit: 3 }, { limit: 3, direction: 'both', warmUp: 20, sigma: 0.5, headStart: 1.5, warnShare: 0.5 }],
  ewma: [{ limit: 2 }, { limit: 2, limits: 'varying', direction: 'down', warmUp: 20, sigma: 0.5 }],
  'page-hinkley': [
    { threshold: 5, fewest: 10, delta: 0.5 },
    { threshold: 5, delta: 0.5, direction: 'down', warnShare: 0.5 },
  ],
  'step-glr': [
    { limit: 2.5, window: 15 },
    { limit: 2.5, direction: 'both', warmUp: 20, window: 7, sigma: 0.5 },
  ],
  'ramp-glr': [
    { limit: 2.5, window: 15 },
    { limit: 2.5, direction: 'down', warmUp: 20, window: 7, sigma: 0.5 },
  ],
};

function verdicts(detector: Any, settings: Record<string, unknown>, xs: readonly number[], state: object): number[] {
  return xs.map((x) => detector.step(settings, state, x));
}

const samples = fc.array(fc.oneof(fc.double({ min: -6, max: 6, noNaN: true }), fc.constant(Number.NaN)), {
  maxLength: 120,
});

for (const [name, plain] of Object.entries(detectors)) {
  const detector = plain as unknown as Any;
  describe(`every detector's checks on ${name}`, () => {
    const variants = settingsOf[detector.kind]!.map((raw) => detector.schema.parse(raw) as Record<string, unknown>);

    for (const [index, settings] of variants.entries()) {
      it(`settings ${index}: stopped and restored from JSON at any sample it says the same`, () => {
        fc.assert(
          fc.property(samples, fc.nat(), (xs, cut) => {
            const whole = verdicts(detector, settings, xs, detector.init(settings));
            const at = xs.length === 0 ? 0 : cut % xs.length;
            const state = detector.init(settings);
            const first = verdicts(detector, settings, xs.slice(0, at), state);
            const restored = JSON.parse(JSON.stringify(state)) as object;
            expect([...first, ...verdicts(detector, settings, xs.slice(at), restored)]).toEqual(whole);
          }),
        );
      });

      it(`settings ${index}: keeps its state flat, finite and of one shape`, () => {
        const normal = seededNormal(11);
        const state = detector.init(settings);
        const shape = Object.keys(state);
        for (let i = 0; i < 300; i++) detector.step(settings, state, i % 9 === 0 ? Number.NaN : normal() + i / 50);
        expect(Object.keys(state)).toEqual(shape);
        for (const value of Object.values(state).flat()) expect(Number.isFinite(value)).toBe(true);
      });

      it(`settings ${index}: a gap changes neither state nor verdicts`, () => {
        const normal = seededNormal(12);
        const xs = Array.from({ length: 200 }, () => normal());
        const state = detector.init(settings);
        const gappy = detector.init(settings);
        for (const x of xs) {
          const before = JSON.stringify(gappy);
          expect(detector.step(settings, gappy, Number.NaN)).toBe(Verdict.quiet);
          expect(JSON.stringify(gappy)).toBe(before);
          expect(detector.step(settings, gappy, x)).toBe(detector.step(settings, state, x));
        }
      });

      it(`settings ${index}: a channel that never changes raises nothing`, () => {
        const xs = new Array<number>(500).fill(settings.warmUp ? 7.25 : 0);
        expect(verdicts(detector, settings, xs, detector.init(settings))).not.toContain(Verdict.alarm);
      });

      it(`settings ${index}: leaves its settings alone and finds a large change in its direction`, () => {
        const frozen = Object.freeze({ ...settings });
        const normal = seededNormal(13);
        const size = settings.direction === 'down' ? -4 : 4;
        const xs = Array.from({ length: 140 }, (_, i) => normal() * 0.3 + (i < 100 ? 0 : size));
        const said = verdicts(detector, frozen, xs, detector.init(frozen));
        expect(said.slice(100)).toContain(Verdict.alarm);
        expect(said.slice(0, 100)).not.toContain(Verdict.alarm);
      });

      it(`settings ${index}: dates a large step, never after it`, () => {
        const normal = seededNormal(14);
        const size = settings.direction === 'down' ? -4 : 4;
        const state = detector.init(settings);
        for (let i = 0; i < 105; i++) detector.step(settings, state, normal() * 0.2 + (i < 100 ? 0 : size));
        const age = detector.changeAge(settings, state);
        expect(age).toBeGreaterThanOrEqual(3);
        // A detector without a window dates the change to its last zero, which noise puts earlier.
        expect(age).toBeLessThanOrEqual(name === 'stepGlr' ? 7 : 40);
      });
    }

    it('refuses settings that it does not know', () => {
      expect(detector.schema.safeParse({ ...settingsOf[detector.kind]![0], unknown: 1 }).success).toBe(false);
    });
  });
}
