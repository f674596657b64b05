import type { Channel } from '../contract/index.ts';
import { namedIn, type ToldCells, toldCells } from './told-cells.ts';

/** What loggers write where a number is missing. Source: common practice, no source. */
const OF_NUMBERS: ReadonlySet<string> = new Set(['n/a', 'na', '#n/a', 'nan', 'null']);
const DASHES = /^[-–—]+$/;

/**
 * Whether a cell says that nothing was measured, whatever a mapping says. A name of a powder may be a word such as "NA": dashes alone mark a
 * missing one.
 *
 * @param text without spaces around it
 * @example
 * isMissingMark('---', 'conveying/pressure'); // true
 */
export function isMissingMark(text: string, channel: Channel): boolean {
  if (DASHES.test(text)) return true;
  return channel !== 'powder/id' && OF_NUMBERS.has(text.toLowerCase());
}

/**
 * What is to be known of such cells, in one sentence.
 *
 * @example
 * missingMarksText({ cells: 2, firstLine: 4, marks: ['---'] }); // '2 cells, first on line 4, hold a mark of a missing value ("---"): taken as empty'
 */
export function missingMarksText(cells: ToldCells): string {
  return `${toldCells(cells, 'holds', 'hold')} a mark of a missing value (${namedIn(cells)}): taken as empty`;
}
