import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import type { BaselineAnswer } from '../../../analyzer/index.ts';
import { baselineCsv } from '../../../dashboard/web/baseline/baseline-csv.ts';

test('a baseline goes out in the units and the time zone of the screen', () => {
  const need = { output: 100, air: 2, low: 1.9, high: 2.1 };
  const answer = {
    powders: [{ powder: 'p-1', curve: [need] }],
    points: [
      {
        ...{ kind: 'left-out', powder: 'p-1', output: 100, air: 2, runs: 20, minutes: 8, why: 'trial' },
        ...{ from: Date.UTC(2026, 5, 1, 12), to: Date.UTC(2026, 5, 1, 13) },
      },
    ],
  } as unknown as BaselineAnswer;
  const [head, curve, point] = parse(
    baselineCsv(answer, { units: 'us', timezone: 'America/Chicago', powders: [{ id: 'p-1', name: 'White fine' }] }),
  ) as string[][];
  expect(head!.slice(2, 4)).toEqual(['output [lb/h]', 'conveying air [scfm]']);
  // 100 g/min are 13.2277 lb/h. Source: NIST SP 811 (2008) appendix B, 1 lb = 453.59237 g.
  expect(curve!.slice(0, 4)).toEqual(['curve', 'p-1', '13.23', '1.2633']);
  expect(point!.slice(4)).toEqual([
    '',
    '',
    '2026-06-01T07:00:00.000-05:00',
    '2026-06-01T08:00:00.000-05:00',
    '20',
    '8.0',
    'trial',
    'White fine',
  ]);
});
