import { writeSync } from 'node:fs';

/**
 * Where the service's log goes, line by line. A log that cannot be written (the disk is full, nobody reads) must not
 * stop or hold up what it tells of: such lines are counted, and the next one that can be written is preceded by their number.
 */
export class LogLines {
  readonly #write: (text: string) => void;
  readonly #tell: (sentence: string) => void;
  #lost = 0;

  /**
   * @param write throws where it cannot write; may have written a part by then
   * @param tell is told when lines begin to be lost
   */
  constructor(write: (text: string) => void, tell: (sentence: string) => void) {
    this.#write = write;
    this.#tell = tell;
  }

  write(line: string): void {
    try {
      if (this.#lost > 0) this.#write(`\n${JSON.stringify({ level: 40, lines: this.#lost, msg: 'log lines lost' })}\n`);
      this.#lost = 0;
      this.#write(line);
    } catch (error) {
      if (this.#lost++ === 0) this.#tell(`the log cannot be written (${(error as Error).message}); its lines are lost`);
    }
  }
}

/** Writes text to standard output at once and whole. @throws {Error} of the system */
export function writeStandardOutput(text: string): void {
  const bytes = Buffer.from(text);
  for (let at = 0; at < bytes.length; ) at += writeSync(1, bytes, at);
}
