import { type CaseScore, confusion, isReached, measures } from '../analyzer/index.ts';
import { estimateText, reachText, unitText } from './figure-text.ts';

/** The measures and the confusion matrix as plain text, for a terminal. */
export function textReport(scores: readonly CaseScore[]): string {
  const rows = measures(scores).map((measure) => {
    const reached = isReached(measure);
    const verdict = reached === null ? '' : reached ? 'reached' : 'NOT reached';
    const value = [estimateText(measure), unitText(measure)].filter(Boolean).join(' ');
    return [measure.name, value, reachText(measure), verdict, measure.basis];
  });
  const { truths, found, counts } = confusion(scores);
  const matrix = truths.map((truth, row) => [
    truth,
    ...counts[row]!.map((count) => (count === 0 ? '.' : String(count))),
  ]);
  return [
    ...columns([['measure', 'value (95 % interval)', 'wanted', '', 'basis'], ...rows]),
    '',
    'What was there (rows) and how it was first found (columns):',
    ...columns([['', ...found], ...matrix]),
    '',
  ].join('\n');
}

/** Rows as lines with aligned columns. */
function columns(rows: readonly (readonly string[])[]): string[] {
  const widths = rows[0]!.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  return rows.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column]!))
      .join('  ')
      .trimEnd(),
  );
}
