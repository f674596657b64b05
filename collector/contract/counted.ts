/**
 * A count with its noun: "1 reading", "3 readings".
 *
 * @param count how many; a number already written out, such as "1 200", counts as it reads
 * @param one the noun for one
 * @param many the noun for all else, if it is not `one` with an s
 * @example
 * counted(1, 'reading'); // '1 reading'
 * @example
 * counted(2, 'log entry', 'log entries'); // '2 log entries'
 */
export function counted(count: number | string, one: string, many = `${one}s`): string {
  return `${count} ${String(count) === '1' ? one : many}`;
}
