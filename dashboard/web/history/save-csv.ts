import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { isoWithOffset } from '../words/site-time.ts';
import { shownColumns, shownTimes } from './shown-columns.ts';

/** What a spreadsheet would take for a formula. Source: OWASP, CSV Injection. */
const FORMULA = /^[=+\-@\t\r]/;

/**
 * The charts' numbers as CSV (RFC 4180): the same points, in the units and the time zone of the screen, each time with its offset, so
 * that the hour that comes twice in autumn stands there twice.
 */
export function historyCsv(answer: HistoryAnswer, other: HistoryAnswer | null, site: Site): string {
  const columns = shownColumns(answer, other, site);
  const heads = columns.flatMap(({ name, unit, hasBand }) =>
    (hasBand ? [', lowest', ', mean', ', highest'] : ['']).map((which) => text(`${name}${which} [${unit}]`)),
  );
  const rows = shownTimes(answer, other).map((time) => {
    const cells = columns.flatMap(({ at, digits, hasBand }) => {
      const { low, mid, high } = at(time);
      // Two digits more than the screen shows: who reckons on should not have to do with what was rounded for the eye.
      return (hasBand ? [low, mid, high] : [mid]).map((value) => (value === null ? '' : value.toFixed(digits + 2)));
    });
    return [isoWithOffset(time, site.timezone), ...cells].join(',');
  });
  return `${[[text(`time (${site.timezone})`), ...heads].join(','), ...rows].join('\r\n')}\r\n`;
}

function text(cell: string): string {
  const safe = FORMULA.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** Hands text to the browser as a download. */
export function saveText(content: string, fileName: string): void {
  const link = document.createElement('a');
  link.download = fileName;
  link.href = URL.createObjectURL(new Blob([content], { type: 'text/csv;charset=utf-8' }));
  link.click();
  URL.revokeObjectURL(link.href);
}
