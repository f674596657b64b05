import { stringify } from 'csv-stringify/sync';
import { formatTime } from '../../collector/contract/index.ts';
import type { HistoryAnswer } from './gun-history.ts';

/** A picture's numbers as CSV (RFC 4180): a row a point, lowest, mean and highest of each series, units in the header. */
export function historyCsv({ times, series }: HistoryAnswer): string {
  const head = [
    'time',
    ...series.flatMap(({ name, unit }) => ['lowest', 'mean', 'highest'].map((what) => `${name} ${what} [${unit}]`)),
  ];
  const rows = times.map((time, index) => [
    formatTime(time),
    ...series.flatMap(({ low, mid, high }) => [low[index], mid[index], high[index]].map((value) => value ?? '')),
  ]);
  return stringify([head, ...rows], { record_delimiter: '\r\n' });
}
