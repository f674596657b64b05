import { type Channel, printable } from '../contract/index.ts';

/** What loggers write where a number is missing. Source: common practice, no source. */
const OF_NUMBERS: ReadonlySet<string> = new Set(['n/a', 'na', '#n/a', 'nan', 'null']);
const DASHES = /^[-–—]+$/;
/** Marks that are named; all cells are counted. */
const MOST_NAMED = 5;

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

/** Cells of a file that say that nothing was measured. */
export interface MissingMarks {
  readonly cells: number;
  readonly firstLine: number;
  /** Some of what stands in them. */
  readonly marks: readonly string[];
}

/** Counts the cells of a file that hold a mark of a missing value. */
export class MissingMarkTally {
  #cells = 0;
  #firstLine = Number.POSITIVE_INFINITY;
  readonly #marks = new Set<string>();

  /** @param line of the row; the file's first is 1 */
  add(mark: string, line: number): void {
    this.#cells++;
    this.#firstLine = Math.min(this.#firstLine, line);
    if (this.#marks.size < MOST_NAMED) this.#marks.add(mark);
  }

  /** Null where there is none. */
  told(): MissingMarks | null {
    return this.#cells === 0 ? null : { cells: this.#cells, firstLine: this.#firstLine, marks: [...this.#marks] };
  }
}

/**
 * What is to be known of such cells, in one sentence.
 *
 * @example
 * missingMarksText({ cells: 2, firstLine: 4, marks: ['---'] }); // '2 cells, first on line 4, hold a mark of a missing value ("---"): taken as empty'
 */
export function missingMarksText({ cells, firstLine, marks }: MissingMarks): string {
  const which = marks.map((mark) => `"${printable(mark, 40)}"`).join(', ');
  const where =
    cells === 1 ? `1 cell, on line ${firstLine}, holds` : `${cells} cells, first on line ${firstLine}, hold`;
  return `${where} a mark of a missing value (${which}): taken as empty`;
}
