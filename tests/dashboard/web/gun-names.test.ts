import fc from 'fast-check';
import { expect, test } from 'vitest';
import { shortGunNames } from '../../../dashboard/web/words/gun-names.ts';

const ruler = { room: 14, width: (text: string): number => text.length };
const short = (...names: string[]): string[] =>
  shortGunNames(
    names.map((name, index) => ({ id: `gun-${index + 1}`, name })),
    ruler,
  );

test('names that fit stay as they are', () => {
  expect(short('Booth 1 left', 'Booth 1 right')).toEqual(['Booth 1 left', 'Booth 1 right']);
});

test('when one is too long, the word that all begin with becomes its initial', () => {
  expect(short('Booth 1 left', 'Booth 1 touch-up')).toEqual(['B1 left', 'B1 touch-up']);
  expect(short('Line north gun 1', 'Line south gun 12')).toEqual(['L. north gun 1', 'L. sout…gun 12']);
});

test('what is still too long keeps its beginning and whole words of its end', () => {
  expect(short('Manual pre-coat station before booth 2', 'Spare')).toEqual(['Manual…booth 2', 'Spare']);
  expect(short('Übergabeplatz Größenlackierung', 'Spare')[0]).toBe('Überga…kierung');
});

test('names that become alike show their ids', () => {
  expect(short('Spray gun of booth 1 above', 'Spray gun in booth 1 above')).toEqual(['gun-1', 'gun-2']);
});

test('short names are all different and fit', () => {
  const names = fc.array(fc.string({ minLength: 1, maxLength: 60, unit: 'grapheme-ascii' }), {
    minLength: 1,
    maxLength: 30,
  });
  fc.assert(
    fc.property(names, (made) => {
      const result = short(...made);
      expect(new Set(result).size).toBe(result.length);
      for (const name of result) expect(name.length).toBeLessThanOrEqual(14);
    }),
  );
});
