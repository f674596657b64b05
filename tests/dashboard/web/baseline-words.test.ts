import { expect, test } from 'vitest';
import { powderName } from '../../../dashboard/web/words/baseline-words.ts';

test('a powder is told by the name in the plant file, and by its id too where two have one name', () => {
  const powders = [
    { id: 'p-white-07', name: 'White polyester fine' },
    { id: 'p-sand-1', name: 'Sand' },
    { id: 'p-sand-2', name: 'Sand' },
  ];
  expect(['p-white-07', 'p-sand-1', 'p-sand-2', 'p-new', ''].map((id) => powderName(id, { powders }))).toEqual([
    'White polyester fine',
    'Sand (p-sand-1)',
    'Sand (p-sand-2)',
    'p-new',
    'powder not read',
  ]);
});
