import { once } from 'node:events';
import process from 'node:process';

/** Standard output and standard error; a write waits while the reader is slower than we are. */
export const out = {
  write: (text: string) => writeText(process.stdout, text),
  writeBytes: (piece: string | Uint8Array) => writeText(process.stdout, piece),
};
export const err = { write: (text: string) => writeText(process.stderr, text) };

async function writeText(stream: NodeJS.WriteStream, text: string | Uint8Array): Promise<void> {
  if (!stream.write(text)) await once(stream, 'drain');
}

/**
 * Ends the program when what it prints is taken no longer: with status 0 where a reader such as `head` has seen enough, with
 * status 1 and one line where it cannot be written, as on a full disk.
 */
export function endWhenNobodyReads(): void {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') process.exit(0);
    process.stderr.write(`standard output: cannot be written (${error.message})\n`);
    process.exit(1);
  });
  // Where standard error itself is gone there is nobody left to tell; the work goes on.
  process.stderr.on('error', () => undefined);
}
