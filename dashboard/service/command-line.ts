import { CommanderError, InvalidArgumentError } from 'commander';
import { AppError, codes, printable } from '../../collector/contract/index.ts';

/** Longest message on standard error; what is longer is a file's content, not a message. */
const MOST_MESSAGE = 2000;

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

/** A number of zero or more given on the command line. */
export function positiveArgument(text: string): number {
  if (!/^\d+(\.\d+)?$/.test(text)) throw new InvalidArgumentError('expected a number of 0 or more.');
  return Number(text);
}

/** Adds a repeated option's value to those before it. */
export function another(value: string, before: readonly string[] | undefined): string[] {
  return [...(before ?? []), value];
}

/**
 * What a failed command says, in one line without control characters, and the exit status of contract section 7.
 */
export function failure(error: unknown): { readonly status: number; readonly line: string } {
  if (error instanceof CommanderError) {
    // Help and version were asked for and are already written.
    if (error.exitCode === 0) return { status: 0, line: '' };
    return { status: codes.USAGE.exit, line: oneLine(error.message.replace(/^error: /, '')) };
  }
  if (error instanceof AppError) return { status: codes[error.code].exit, line: oneLine(error.message) };
  const text = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  return { status: codes.INTERNAL.exit, line: oneLine(`a fault of our own, please report it: ${text}`) };
}

function oneLine(text: string): string {
  return printable(text.replace(/\s*\n\s*/g, ' '), MOST_MESSAGE);
}
