import { expect, test } from 'vitest';
import { lotWords, withPowderNamed } from '../../../collector/contract/lot-words.ts';

const powders = [
  { id: 'p-white-07', name: 'White satin' },
  { id: 'p-white-08', name: 'White satin' },
  { id: 'p 9 give 10', name: 'Sand' },
  { id: 'p-grey-01' },
];

test('the powder of a bad lot is told by its name, and by its id too where two have one name', () => {
  expect(withPowderNamed(lotWords('p 9 give 10', '6 %'), powders)).toBe(
    'all guns with Sand give 6 % less for the same air since the same time: the powder or its lot, no part',
  );
  expect(withPowderNamed(lotWords('p-white-07', '6 %'), powders)).toMatch(
    /^all guns with White satin \(p-white-07\) give/,
  );
});

test('a powder without a name, and any other sentence, stay as they are', () => {
  for (const sentence of [
    lotWords('p-grey-01', '6 %'),
    lotWords('unknown', '6 %'),
    'the line passes air as it did',
    '',
  ])
    expect(withPowderNamed(sentence, powders)).toBe(sentence);
});
