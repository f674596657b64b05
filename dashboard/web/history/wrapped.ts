/**
 * Words in lines of at most some width; a word that is wider has a line of its own.
 *
 * @param widthOf width of a text, in the unit of `room`
 */
export function wrapped(text: string, room: number, widthOf: (text: string) => number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const longer = lines.length === 0 ? word : `${lines.at(-1)} ${word}`;
    if (lines.length > 0 && widthOf(longer) > room) lines.push(word);
    else lines[Math.max(0, lines.length - 1)] = longer;
  }
  return lines;
}
