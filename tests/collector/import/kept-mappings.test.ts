import { expect, onTestFinished, test } from 'vitest';
import { KeptMappings } from '../../../collector/import/kept-mappings.ts';
import { ImportMapping, openStore } from '../../../collector/index.ts';
import { tempDir } from '../store/temp-dir.ts';

test('a mapping is offered again for such headings, but not where the text is written otherwise', () => {
  const store = openStore(tempDir(), { create: true });
  onTestFinished(() => store.close());
  const mappings = new KeptMappings(store.states);
  const headings = ['t', 'p'];
  const columns = [{ column: 'p', channel: 'conveying/pressure' }];
  const mapping = ImportMapping.parse({ delimiter: ';', time: { column: 't' }, gun: 'gun-01', columns });
  mappings.put(headings, { mapping, file: 'first.csv', who: 'local', usedAt: 1 });
  const text = { headings, delimiter: ';', encoding: 'utf-8', skipLines: 0 } as const;
  expect(mappings.get(text)?.file).toBe('first.csv');
  expect(mappings.get({ ...text, delimiter: ',' })).toBeNull();
  expect(mappings.get({ ...text, encoding: 'utf-16le' })).toBeNull();
  expect(mappings.get({ ...text, skipLines: 1 })).toBeNull();
  expect(mappings.get({ ...text, headings: ['t', 'q'] })).toBeNull();
});
