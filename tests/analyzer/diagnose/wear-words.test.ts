import { describe, expect, it } from 'vitest';
import { besideWear } from '../../../analyzer/diagnose/wear-words.ts';

const calm = { step: false, lineLoss: 0.01, wear: 0.14, total: 0.14 };

describe('what is said beside wear', () => {
  it.each([
    [calm, 'no step, conveying conductance unchanged'],
    [{ ...calm, lineLoss: 0.11 }, 'no step, conveying air also needs 11 % more pressure for the same flow'],
    [{ ...calm, lineLoss: -0.08 }, 'no step, more conveying air passes at the same pressure than before'],
    [{ ...calm, lineLoss: null }, 'no step'],
    [{ ...calm, step: true }, 'a step came beside it, conveying conductance unchanged'],
    [{ ...calm, step: true, total: 0.06, lineLoss: null }, 'with what came in steps 6.0 % over'],
    [{ ...calm, total: 0.17, lineLoss: null }, 'with what came in steps 17.0 % over'],
  ])('is what the air shows: %j', (beside, words) => {
    expect(besideWear(beside)).toBe(words);
  });
});
