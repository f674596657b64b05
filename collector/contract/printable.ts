/** Control, format and separator characters, and lone surrogates: nothing that a terminal, log or page may act on. */
const UNPRINTABLE = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu;

/**
 * Text from outside as it may stand in a message: control characters replaced by U+FFFD, cut to a length.
 *
 * @param most characters kept before the cut
 * @example
 * printable('a\u0007b'); // 'a\ufffdb'
 */
export function printable(text: string, most = 60): string {
  // Cut first: what is cut away need not be searched.
  const head = text.length > most ? `${text.slice(0, most)}…` : text;
  return head.replace(UNPRINTABLE, '\ufffd');
}

/** A value from outside, quoted for a message: strings in quotes, the rest as JSON, long ones cut. */
export function quoted(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (typeof value === 'string') return `"${printable(value)}"`;
  if (typeof value === 'number' || typeof value === 'boolean' || value === null) return String(value);
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (value instanceof Date) return printable(value.toISOString());
  return 'a mapping';
}
