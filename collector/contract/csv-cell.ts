/** What a spreadsheet would take for a formula. Source: OWASP, CSV Injection. */
const FORMULA = /^[=+\-@\t\r]/;

/**
 * A word for a cell of CSV that a spreadsheet takes for a word: with an apostrophe in front where it would be a formula. Numbers need none.
 *
 * @example
 * withoutFormula('=1+1'); // "'=1+1"
 */
export function withoutFormula(text: string): string {
  return FORMULA.test(text) ? `'${text}` : text;
}
