const QUOTE = 34;
const COMMA = 44;
const LF = 10;
const CR = 13;

export interface CsvRow {
  readonly fields: string[];
  /** Where the next row begins. */
  readonly next: number;
  /** Line ends within the row, its own included: more than 1 where a quoted field holds some. */
  readonly lines: number;
}

/**
 * Splits one row of RFC 4180 text: quoted fields may hold commas, line ends and doubled quotes. Beyond the RFC, a
 * quote inside an unquoted field stands for itself, and what follows a closing quote is kept.
 *
 * @param start where the row begins
 * @param end where what is known of the text ends; the row must have its line end before it
 * @param delimiter byte between fields
 * @returns the row, or null when it does not end before `end`
 */
export function splitRow(bytes: Buffer, start: number, end: number, delimiter: number = COMMA): CsvRow | null {
  const fields: string[] = [];
  let lines = 1;
  let position = start;
  for (;;) {
    let text = '';
    if (bytes[position] === QUOTE && position < end) {
      let from = position + 1;
      for (;;) {
        const close = bytes.indexOf(QUOTE, from);
        if (close < 0 || close >= end) return null;
        text += bytes.toString('utf8', from, close);
        position = close + 1;
        if (bytes[position] !== QUOTE || position >= end) break;
        text += '"';
        from = position + 1;
      }
      for (const character of text) if (character === '\n') lines++;
    }
    const from = position;
    while (position < end && bytes[position] !== delimiter && bytes[position] !== LF) position++;
    if (position >= end) return null;
    const last = bytes[position] === LF;
    const to = last && position > from && bytes[position - 1] === CR ? position - 1 : position;
    if (to > from) text += bytes.toString('utf8', from, to);
    fields.push(text);
    position++;
    if (last) return { fields, next: position, lines };
  }
}
