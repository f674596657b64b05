import { expect, test } from 'vitest';
import { PART_IDS } from '../../collector/contract/index.ts';
import { addChecks } from '../../commands/checks.ts';
import { printed } from './printed.ts';

test('every part is checked and judged by hand, the cautions first', async () => {
  const text = await printed(addChecks, 'checks');
  const places = PART_IDS.map((part) => text.indexOf(`\n${part}: `));
  expect(text.indexOf('Before you touch anything')).toBe(0);
  for (const place of places) expect(place).toBeGreaterThan(0);
  expect(text.match(/^ {2}worn: /gm)).toHaveLength(PART_IDS.length);
});

test('of one part alone, with the cautions', async () => {
  const text = await printed(addChecks, 'checks', '--part', 'nozzle');
  expect(text).toContain('Before you touch anything');
  expect(text).toContain('\nnozzle: ');
  expect(text).not.toContain('pump-insert: ');
});
