import { printable } from '../contract/index.ts';

/** Cells that are named; all are counted. */
const MOST_NAMED = 5;

/** Cells of a file of which something is to be told. */
export interface ToldCells {
  readonly cells: number;
  readonly firstLine: number;
  /** Some of what stands in them. */
  readonly marks: readonly string[];
}

/** Counts such cells of a file. */
export class ToldCellsTally {
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
  told(): ToldCells | null {
    return this.#cells === 0 ? null : { cells: this.#cells, firstLine: this.#firstLine, marks: [...this.#marks] };
  }
}

/** How many they are and where, with the verb that belongs to them. */
export function toldCells({ cells, firstLine }: ToldCells, one: string, many: string): string {
  return cells === 1 ? `1 cell, on line ${firstLine}, ${one}` : `${cells} cells, first on line ${firstLine}, ${many}`;
}

/** Some of what stands in them, quoted. */
export function namedIn({ marks }: ToldCells): string {
  return marks.map((mark) => `"${printable(mark, 40)}"`).join(', ');
}
