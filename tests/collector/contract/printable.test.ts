import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { printable, quoted } from '../../../collector/contract/printable.ts';

describe('printable', () => {
  it('replaces what a terminal would act on', () => {
    expect(printable('a\u001b[2Jb\u0000\u0007\r\n\u009b\u202e\ud800')).not.toMatch(/\p{Cc}|\p{Cs}|\u202e/u);
  });

  it('leaves ordinary text of any script alone', () => {
    expect(printable('Kabine 1 – große Düse 粉')).toBe('Kabine 1 – große Düse 粉');
  });

  it('never passes a control character on and never grows long', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
        const shown = printable(text, 20);
        expect(shown).not.toMatch(/\p{Cc}/u);
        expect(shown.length).toBeLessThanOrEqual(21);
      }),
    );
  });
});

describe('quoted', () => {
  it('shows what kind of value was found', () => {
    expect([undefined, null, 7, true, 'x', [1, 2], {}].map(quoted)).toEqual([
      'nothing',
      'null',
      '7',
      'true',
      '"x"',
      'a list of 2',
      'a mapping',
    ]);
  });
});
