import { describe, expect, it } from 'vitest';
import type { ExcessAir } from '../../../analyzer/baseline/excess-air.ts';
import { besideWear, wearInWords } from '../../../analyzer/diagnose/wear-words.ts';

const calm = { step: false, lineLoss: 0.01, wear: 0.14, total: 0.14 };

describe('what is said beside wear', () => {
  it.each([
    [calm, 'no step, conveying conductance unchanged'],
    [{ ...calm, lineLoss: 0.11 }, 'no step, conveying air also needs 11 % more pressure for the same flow'],
    [{ ...calm, lineLoss: -0.08 }, 'no step, more conveying air passes at the same pressure than before'],
    [{ ...calm, lineLoss: null }, 'no step'],
    [{ ...calm, step: true }, 'a step came beside it, conveying conductance unchanged'],
    [
      { ...calm, step: true, total: 0.06, lineLoss: null },
      'together with what came in steps 6.0 % over a new insert’s need',
    ],
    [{ ...calm, total: 0.17, lineLoss: null }, 'together with what came in steps 17.0 % over a new insert’s need'],
  ])('is what the air shows: %j', (beside, words) => {
    expect(besideWear(beside)).toBe(words);
  });
});

describe('what is said of ripple while an insert wears', () => {
  const excess = { wear: 0.1, wearSd: 0.02 } as ExcessAir;
  const said = (ripple: number, since: number | null): string =>
    wearInWords(excess, 5, 'limit', { since, sprayHours: 10, kilograms: 80 }, ripple).at(-1)!;

  it.each([
    [0.02, 1, 'ripple of the conveying air unchanged since then'],
    [-0.09, null, 'ripple of the conveying air unchanged since the first readings'],
    [Math.log(1.5), 1, 'ripple of the conveying air is 1.5 times what it was then'],
    [Math.log(3.1), null, 'ripple of the conveying air is 3.1 times what it was in the first readings'],
  ])('ln %f: as many times as before, and since when', (ripple, since, words) => {
    expect(said(ripple, since)).toBe(words);
  });
});

describe('what is said while a regulator stands at its stop', () => {
  const excess = { wear: 0.1, wearSd: 0.02 } as ExcessAir;
  const said = (atStop: boolean): string[] =>
    wearInWords(excess, 5, 'limit', { since: 1, sprayHours: 10, kilograms: 80 }, null, atStop);

  it('is that the air does not tell of wear', () => {
    expect(said(true).at(-1)).toBe(
      'recipes that need different conveying air all have the same now, as at a regulator’s stop: this air does not tell of wear; what has worn since is reckoned from what went through the insert',
    );
    expect(said(true).slice(0, -1)).toEqual(said(false));
  });
});
