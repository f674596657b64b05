import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { historyCsv } from '../../../dashboard/web/history/history-csv.ts';
import { isoWithOffset } from '../../../dashboard/web/words/local-field.ts';
import { EMPTY_HISTORY } from './empty-history.ts';

/** The hour before and the hour in which clocks go back in Vienna. */
const TWICE = [Date.UTC(2026, 9, 25, 0, 30), Date.UTC(2026, 9, 25, 1, 30)];

const answer = (gun: string, mid: readonly (number | null)[]): HistoryAnswer => ({
  ...EMPTY_HISTORY,
  ...{ gun, from: TWICE[0]!, to: TWICE[1]! + 1, widthMs: 3_600_000, times: TWICE },
  series: [{ name: 'conveyingPressure', unit: 'bar', low: mid, mid, high: mid } as const].flatMap((one) => [
    one,
    { name: 'ripple', unit: 'bar', low: mid, mid, high: mid },
  ]),
});
const guns = [
  { id: 'gun-01', name: 'Left, "old"', parts: [] },
  { id: 'gun-02', name: '=1+1', parts: [] },
];
const site = {
  ...{ id: 'hall-2', name: 'Hall 2', timezone: 'Europe/Vienna', air: [], powders: [], guns },
  units: 'us',
} as const;

test('the file has the screen’s units, its time zone with the offset, and only what its charts show', () => {
  const rows = parse(historyCsv(answer('gun-01', [0.01, null]), null, site)) as string[][];
  expect(rows).toEqual([
    ['time (Europe/Vienna)', 'Ripple, lowest [psi]', 'Ripple, mean [psi]', 'Ripple, highest [psi]'],
    // 0.01 bar are 0.145038 psi. Source: NIST SP 811 (2008) appendix B, 1 psi = 6894.757 Pa.
    ['2026-10-25T02:30:00.000+02:00', '0.145038', '0.145038', '0.145038'],
    ['2026-10-25T02:30:00.000+01:00', '', '', ''],
  ]);
});

test('two guns stand beside each other under their names, none of which is a formula', () => {
  const rows = parse(historyCsv(answer('gun-01', [0.01, 0.02]), answer('gun-02', [0.03, null]), site)) as string[][];
  expect(rows[0]![1]).toBe('Left, "old": Ripple, lowest [psi]');
  expect(rows[0]![4]).toBe("'=1+1: Ripple, lowest [psi]");
  expect(rows[2]!.slice(4)).toEqual(['', '', '']);
});

test('an instant has its offset west of Greenwich too', () => {
  expect(isoWithOffset(Date.UTC(2026, 0, 1, 5, 0, 1, 20), 'America/St_Johns')).toBe('2026-01-01T01:30:01.020-03:30');
});
