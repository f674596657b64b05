import { stringify } from 'csv-stringify/sync';
import { formatTime } from '../../collector/contract/index.ts';
import type { HistoryAnswer } from './gun-history.ts';

/**
 * A picture's numbers as CSV (RFC 4180): a row a point, lowest, mean and highest of each series, units in the header.
 *
 * @param beside another gun of the same picture: its columns stand behind, each gun's under its own name
 */
export function historyCsv(answer: HistoryAnswer, beside: HistoryAnswer | null = null): string {
  const shown = beside === null ? [answer] : [answer, beside];
  const head = shown.flatMap(({ gun, series }) =>
    series.flatMap(({ name, unit }) =>
      ['lowest', 'mean', 'highest'].map((what) => `${beside === null ? '' : `${gun} `}${name} ${what} [${unit}]`),
    ),
  );
  const places = shown.map(({ times }) => new Map(times.map((time, index) => [time, index])));
  const times = [...new Set(shown.flatMap((one) => one.times))].sort((left, right) => left - right);
  const rows = times.map((time) => [
    formatTime(time),
    ...shown.flatMap(({ series }, gun) => {
      const index = places[gun]!.get(time) ?? -1;
      return series.flatMap(({ low, mid, high }) => [low[index], mid[index], high[index]].map((value) => value ?? ''));
    }),
  ]);
  return stringify([['time', ...head], ...rows], { record_delimiter: '\r\n' });
}
