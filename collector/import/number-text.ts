import type { ImportMapping } from './import-mapping.ts';
import { namedIn, type ToldCells, toldCells } from './told-cells.ts';

type Decimal = ImportMapping['decimal'];

/** Marks of thousands that are no decimal mark: spaces of all widths, apostrophes. Source: common practice, no source. */
const GAP = "[ \\u00a0\\u2007\\u2009\\u202f'’]";
const MINUS = /^[−–](?=\d)/;

/** Whole numbers and fractions whose thousands are set apart by one mark throughout. */
const grouped = (mark: string, decimal: string): RegExp =>
  new RegExp(`^[+-]?\\d{1,3}(${mark})\\d{3}(?:\\1\\d{3})*(?:${decimal}\\d*)?$`);
const GROUPED: Readonly<Record<Decimal, RegExp>> = {
  '.': grouped(`${GAP}|,`, '\\.'),
  ',': grouped(`${GAP}|\\.`, ','),
};
/** One group of three behind one point or comma, and no nought before it: a fraction to one reader, thousands to the other. */
const EITHER = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/;

/** How a cell is read. */
export interface NumberText {
  /** As JavaScript reads numbers where it is one; else as it stands, or nearly. */
  readonly text: string;
  /** A decimal point or comma was taken for a mark of thousands, and nothing else in the cell says that it is one. */
  readonly isTakenForThousands: boolean;
}

/**
 * A number as a logger or a spreadsheet writes it, with a point and no thousands set apart.
 *
 * A lone "1.501" is thousands where the decimal mark is stated to be a comma. A lone "1,501" beside a decimal point stays as it is, which is
 * no number: the point may be a default that nobody stated.
 *
 * @param text without spaces around it
 * @example
 * numberText('1 501,5', ','); // { text: '1501.5', isTakenForThousands: false }
 */
export function numberText(text: string, decimal: Decimal): NumberText {
  const signed = text.replace(MINUS, '-');
  const isEither = EITHER.test(signed);
  if (decimal === '.' && isEither) return { text: signed, isTakenForThousands: false };
  const mark = GROUPED[decimal].exec(signed)?.[1];
  const plain = mark === undefined ? signed : signed.replaceAll(mark, '');
  return {
    text: decimal === ',' ? plain.replace(',', '.') : plain,
    isTakenForThousands: mark === '.' && isEither,
  };
}

/**
 * What is to be known of cells whose only point was taken for a mark of thousands, in one sentence.
 *
 * @example
 * thousandsText({ cells: 1, firstLine: 4, marks: ['1.501'] }); // '1 cell, on line 4, has a point and three digits behind it ("1.501"): taken as thousands, since the decimal mark is a comma'
 */
export function thousandsText(cells: ToldCells): string {
  const where = toldCells(cells, 'has', 'have');
  return `${where} a point and three digits behind it (${namedIn(cells)}): taken as thousands, since the decimal mark is a comma`;
}

/** What the cells of a file say of its decimal mark. */
export interface OfferedDecimal {
  /** Null where every number may be read either way. */
  readonly decimal: Decimal | null;
  /** A cell that may be read either way, where `decimal` is null. */
  readonly example: string | null;
}

/**
 * The decimal mark of a file, from its first cells.
 *
 * @param cells some of the file's, in any order
 * @param isPointUsual where commas stand between cells those inside of them are quoted, and a point is no mark of thousands
 * @example
 * offeredDecimal(['1,501', '12,250'], false); // { decimal: null, example: '1,501' }
 */
export function offeredDecimal(cells: readonly string[], isPointUsual: boolean): OfferedDecimal {
  const votes = { '.': 0, ',': 0 };
  let either: string | null = null;
  for (const cell of cells) {
    const text = cell.trim().replace(MINUS, '-');
    const mark = markOf(text);
    if (mark === null) continue;
    if (EITHER.test(text) && !(isPointUsual && mark === '.')) either ??= text;
    else votes[mark]++;
  }
  if (votes['.'] + votes[','] === 0 && either !== null) return { decimal: null, example: either };
  return { decimal: votes[','] > votes['.'] ? ',' : '.', example: null };
}

/** The decimal mark of a number that has one; of a lone mark with three digits behind it, that mark. */
function markOf(text: string): Decimal | null {
  const fraction = /^[+-]?\d+([.,])\d+$/.exec(text)?.[1] as Decimal | undefined;
  if (fraction !== undefined) return fraction;
  for (const decimal of ['.', ','] as const) if (GROUPED[decimal].test(text) && text.includes(decimal)) return decimal;
  // Several groups of three and no decimals: their mark is not the decimal one.
  const mark = /^[+-]?\d{1,3}([.,])\d{3}(?:\1\d{3})+$/.exec(text)?.[1];
  return mark === undefined ? null : mark === '.' ? ',' : '.';
}
