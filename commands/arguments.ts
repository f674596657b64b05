import { InvalidArgumentError } from 'commander';

/** A port given on the command line; 0 takes any free one. */
export function portArgument(text: string): number {
  if (!/^\d{1,5}$/.test(text) || Number(text) > 65_535)
    throw new InvalidArgumentError('expected a port, 0 to 65535; 0 takes any free one.');
  return Number(text);
}

/** A whole number given on the command line. */
export function wholeArgument(text: string): number {
  if (!/^-?\d{1,15}$/.test(text)) throw new InvalidArgumentError('expected a whole number.');
  return Number(text);
}

/** A whole number of one or more given on the command line. */
export function countArgument(text: string): number {
  const count = /^\d{1,15}$/.test(text) ? Number(text) : 0;
  if (count < 1) throw new InvalidArgumentError('expected a whole number of 1 or more.');
  return count;
}

/** A number of zero or more given on the command line. */
export function nonNegativeArgument(text: string): number {
  if (!/^\d+(\.\d+)?$/.test(text)) throw new InvalidArgumentError('expected a number of 0 or more.');
  return Number(text);
}

/** Adds a repeated option's value to those before it. */
export function another(value: string, before: readonly string[] | undefined): string[] {
  return [...(before ?? []), value];
}
