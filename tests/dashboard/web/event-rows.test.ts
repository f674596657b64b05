import { expect, test } from 'vitest';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { eventRows, kindsOf } from '../../../dashboard/web/history/event-rows.ts';
import { findingOf } from '../../analyzer/study/finding-of.ts';

test('a finding tells its kind in words: the strip’s colour alone would not be enough', () => {
  const span = { from: Date.UTC(2025, 0, 1), to: Date.UTC(2027, 0, 1) };
  const finding = { ...findingOf('supply-air', 5, null), category: 'out-of-specification' as const };
  const answer: HistoryAnswer = {
    ...{ gun: 'gun-01', ...span, level: 'runs', widthMs: 1, times: [], series: [], log: [], recipes: [] },
    ...{
      findings: [finding],
      powders: [],
      relearnings: [],
      settings: [],
      excluded: [],
      nearest: null,
      damaged: [],
      known: null,
    },
  };
  const [row] = eventRows(answer, span, { timezone: 'UTC', units: 'metric' });
  expect(row?.marks.map(({ text }) => text)).toEqual([expect.stringContaining(', out of specification, raised')]);
  expect(row?.marks[0]?.brief).toEqual(['S Supply air', 'S']);
  expect(kindsOf([row!])).toEqual([
    { kind: 'finding out-of-specification', letter: 'S', words: 'Out of specification' },
  ]);
});
