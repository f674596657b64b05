/** No text takes more in UTF-8, bytes. Source: Unicode 15, table 3-6: a UTF-16 unit becomes three bytes at most, two become four. */
export const mostTextBytes = (text: string): number => 3 * text.length;

/**
 * Writes a text in UTF-8; there must be room for `mostTextBytes`. Names of stations are ASCII, and short: letter by letter
 * nothing is called out of JavaScript for them.
 *
 * @returns bytes written
 */
export function writeText(bytes: Uint8Array, at: number, text: string): number {
  for (let index = 0; index < text.length; index++) {
    const code = text.charCodeAt(index);
    if (code > 127) return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).write(text, at, 'utf8');
    bytes[at + index] = code;
  }
  return text.length;
}
