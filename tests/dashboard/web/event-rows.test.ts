import { expect, test } from 'vitest';
import { eventRows, kindsOf } from '../../../dashboard/web/history/event-rows.ts';
import { findingOf } from '../../analyzer/study/finding-of.ts';
import { EMPTY_HISTORY } from './empty-history.ts';

test('a finding tells its kind in words: the strip’s colour alone would not be enough', () => {
  const span = { from: Date.UTC(2025, 0, 1), to: Date.UTC(2027, 0, 1) };
  const finding = { ...findingOf('supply-air', 5, null), category: 'out-of-specification' as const };
  const answer = { ...EMPTY_HISTORY, ...span, findings: [finding] };
  const [row] = eventRows(answer, span, { timezone: 'UTC', units: 'metric', powders: [] });
  expect(row?.marks.map(({ text }) => text)).toEqual([expect.stringContaining(', out of specification, raised')]);
  expect(row?.marks[0]?.brief).toEqual(['S Supply air', 'S']);
  expect(kindsOf([row!])).toEqual([
    { kind: 'finding out-of-specification', letter: 'S', words: 'Out of specification' },
  ]);
});
