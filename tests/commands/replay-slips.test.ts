import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { addReplay } from '../../commands/replay.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { remarks } from './remarks.ts';

// The data folder is missing: whatever is told of something else came before any history was read.
test.each([
  ['contradicting settings', 'smallestChange: 0.4', [], 'no more than the changeLimitExcessAir'],
  ['a value out of range', 'learningRuns: 3', [], 'expected at least 10'],
  [
    'bad settings beside',
    'learningRuns: 80',
    ['--against', 'none.yaml'],
    'none.yaml: found no such file, expected a settings file',
  ],
  ['a time without zone', 'learningRuns: 80', ['--from', '2026-01-01T00:00:00'], '--from: found "2026-01-01T00:00:00"'],
  ['a day that does not exist', 'learningRuns: 80', ['--to', '2026-02-30T00:00:00Z'], 'expected a time that exists'],
  ['the missing folder', 'learningRuns: 80', [], 'missing'],
])('%s: told before the history is read', async (_, settings, words, sentence) => {
  const dir = tempDir();
  writeFileSync(join(dir, 'a.yaml'), `${settings}\n`);
  const asked = ['--data', join(dir, 'missing'), '--settings', join(dir, 'a.yaml'), ...words];
  await expect(remarks(addReplay, 'replay', ...asked)).rejects.toThrow(sentence);
});
