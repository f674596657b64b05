import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { limitBelief, teachLimit } from '../../../analyzer/forecast/change-limit.ts';
import { FOUND, type Found } from '../../../collector/contract/index.ts';

const SETTING = 0.2;
const EXACT = 0.02;

interface Lesson {
  readonly found: Found;
  readonly excess: number;
  readonly sd?: number;
}

/** The limit after some lessons, as excess air, and its deviation in ln. */
function limitAfter(lessons: readonly Lesson[], setting = SETTING): { excess: number; sd: number } {
  const taught: number[] = [];
  for (const { found, excess, sd = EXACT } of lessons) teachLimit(taught, found, Math.log(excess), sd);
  const belief = limitBelief(taught, setting);
  return { excess: Math.exp(belief.log), sd: belief.sd };
}

describe('the change limit before the log taught anything', () => {
  it.each([0.08, 0.15, 0.2, 0.3])('is the setting %f', (setting) => {
    expect(limitAfter([], setting).excess).toBeCloseTo(setting, 2);
  });

  // Source: contract section 8 allows 0.03 to 1.
  it('rises with the setting over all that the settings allow', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.03, max: 0.99, noNaN: true }), (setting) => {
        expect(limitAfter([], setting + 0.01).excess).toBeGreaterThan(limitAfter([], setting).excess);
      }),
    );
  });
});

describe('what the log teaches', () => {
  it('lowers the limit where an insert had failed already below it', () => {
    expect(limitAfter([{ found: 'failed', excess: 0.15 }]).excess).toBeLessThan(0.18);
  });

  it('raises the limit where an insert beyond it was still good', () => {
    expect(limitAfter([{ found: 'good', excess: 0.25 }]).excess).toBeGreaterThan(0.25);
  });

  it('hardly moves the limit where an insert that was nearly new was good, and where one far beyond had failed', () => {
    expect(Math.abs(limitAfter([{ found: 'good', excess: 0.05 }]).excess - SETTING)).toBeLessThan(0.01);
    expect(Math.abs(limitAfter([{ found: 'failed', excess: 0.6 }]).excess - SETTING)).toBeLessThan(0.01);
  });

  it('draws the limit towards the excess air at which inserts were found worn, from both sides', () => {
    expect(limitAfter([{ found: 'worn', excess: 0.13 }]).excess).toBeLessThan(0.19);
    expect(limitAfter([{ found: 'worn', excess: 0.28 }]).excess).toBeGreaterThan(0.21);
  });

  it.each([0.1, 0.13, 0.3])(
    'comes near %f where six inserts were found worn at it, from a setting of 0.2',
    (excess) => {
      const six = Array.from({ length: 6 }, (): Lesson => ({ found: 'worn', excess }));
      const before = Math.abs(Math.log(SETTING / excess));
      expect(Math.abs(Math.log(limitAfter(six).excess / excess))).toBeLessThan(0.5 * before);
    },
  );

  it('makes the limit surer with every insert found worn at it', () => {
    const sds = [0, 1, 2, 4, 8].map(
      (count) => limitAfter(Array.from({ length: count }, (): Lesson => ({ found: 'worn', excess: 0.2 }))).sd,
    );
    for (let i = 1; i < sds.length; i++) expect(sds[i]!).toBeLessThan(sds[i - 1]!);
  });

  it('moves the limit less where the excess air at the change is less sure', () => {
    const sure = limitAfter([{ found: 'failed', excess: 0.13, sd: 0.05 }]).excess;
    const unsure = limitAfter([{ found: 'failed', excess: 0.13, sd: 1 }]).excess;
    expect(sure).toBeLessThan(unsure);
    expect(unsure).toBeLessThan(SETTING);
  });

  it('near the limit, gives a higher one for an insert found good than for a worn one, and for a worn one than for a failed one', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.13, max: 0.25, noNaN: true }), (excess) => {
        const [good, worn, failed] = FOUND.map((found) => limitAfter([{ found, excess }]).excess);
        expect(good!).toBeGreaterThan(worn!);
        expect(worn!).toBeGreaterThan(failed!);
      }),
    );
  });

  it('does not depend on the order in which the changes were written down', () => {
    const lesson = fc.record({
      found: fc.constantFrom(...FOUND),
      excess: fc.double({ min: 0.02, max: 1, noNaN: true }),
      sd: fc.double({ min: 0.01, max: 2, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(lesson, { maxLength: 8 }), (lessons) => {
        expect(limitAfter([...lessons].reverse()).excess).toBeCloseTo(limitAfter(lessons).excess, 9);
      }),
    );
  });

  it('is not carried away by one entry that contradicts ten', () => {
    const ten = Array.from({ length: 10 }, (): Lesson => ({ found: 'worn', excess: 0.2 }));
    const contradicted = limitAfter([...ten, { found: 'failed', excess: 0.06 }]).excess;
    expect(Math.abs(contradicted - limitAfter(ten).excess)).toBeLessThan(0.02);
  });
});
