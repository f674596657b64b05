import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { csvOf } from '../words/csv-of.ts';
import { isoWithOffset } from '../words/local-field.ts';
import { shownColumns, shownTimes } from './shown-columns.ts';

/**
 * The charts' numbers as CSV: the same points, in the units and the time zone of the screen, each time with its offset, so that the
 * hour that comes twice in autumn stands there twice.
 */
export function historyCsv(answer: HistoryAnswer, other: HistoryAnswer | null, site: Site): string {
  const columns = shownColumns(answer, other, site);
  const heads = columns.flatMap(({ name, unit, hasBand }) =>
    (hasBand ? [', lowest', ', mean', ', highest'] : ['']).map((which) => `${name}${which} [${unit}]`),
  );
  const rows = shownTimes(answer, other).map((time) => [
    isoWithOffset(time, site.timezone),
    ...columns.flatMap(({ at, digits, hasBand }) => {
      const { low, mid, high } = at(time);
      // Two digits more than the screen shows: who reckons on should not have to do with what was rounded for the eye.
      const figure = (value: number | null) => (value === null ? null : { value, digits: digits + 2 });
      return hasBand ? [figure(low), figure(mid), figure(high)] : [figure(mid)];
    }),
  ]);
  return csvOf([`time (${site.timezone})`, ...heads], rows);
}
