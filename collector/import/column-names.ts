/**
 * The names that a logger's headings give its columns: a heading that stands over several tells them apart by number.
 *
 * @param headings the line of headings, as it stands in the file
 * @returns as many names; empty ones stay empty
 * @example
 * columnNames(['Zeit', 'Druck', 'Druck']); // ['Zeit', 'Druck (1)', 'Druck (2)']
 */
export function columnNames(headings: readonly string[]): string[] {
  const plain = headings.map(plainHeading);
  const taken = new Set(plain);
  return plain.map((name) => {
    if (name === '' || plain.indexOf(name) === plain.lastIndexOf(name)) return name;
    let place = 1;
    while (taken.has(`${name} (${place})`)) place++;
    taken.add(`${name} (${place})`);
    return `${name} (${place})`;
  });
}

/** A heading without what stands around it. */
export function plainHeading(heading: string): string {
  return heading.replace(/^\ufeff/, '').trim();
}
