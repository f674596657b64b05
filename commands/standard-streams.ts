import { once } from 'node:events';
import process from 'node:process';

/** Standard output and standard error; a write waits while the reader is slower than we are. */
export const out = { write: (text: string) => writeText(process.stdout, text) };
export const err = { write: (text: string) => writeText(process.stderr, text) };

async function writeText(stream: NodeJS.WriteStream, text: string): Promise<void> {
  if (!stream.write(text)) await once(stream, 'drain');
}

/** A reader that has seen enough, such as `head`, is no fault: the program then ends with status 0. */
export function endWhenNobodyReads(): void {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') process.exit(0);
    throw error;
  });
}
