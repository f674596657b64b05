import { CommanderError } from 'commander';
import { AppError, codes, printable } from '../collector/contract/index.ts';

/** Longest message on standard error. Source: own choice, because what is longer is a file's content, not a message. */
const MOST_MESSAGE = 2000;
const NO_COMMAND = 'found no command, expected one of those that --help lists';

/** What a failed command says, in one line without control characters, and the exit status that it ends with. */
export function failure(error: unknown): { readonly status: number; readonly line: string } {
  if (error instanceof CommanderError) {
    // Help and version were asked for and are already written.
    if (error.exitCode === 0) return { status: 0, line: '' };
    if (error.code === 'commander.help') return { status: codes.USAGE.exit, line: NO_COMMAND };
    return { status: codes.USAGE.exit, line: oneLine(error.message.replace(/^error: /, '')) };
  }
  if (error instanceof AppError) return { status: codes[error.code].exit, line: oneLine(error.message) };
  const text = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  return { status: codes.INTERNAL.exit, line: oneLine(`a fault of our own, please report it: ${text}`) };
}

function oneLine(text: string): string {
  return printable(text.replace(/\s*\n\s*/g, ' '), MOST_MESSAGE);
}
