import process from 'node:process';
import { finish } from '../analyzer/index.ts';

/** The line is taken away: what follows is the answer. */
const TAKEN_AWAY = '\r\u001b[K';
const lineOf = (what: string, percent: number): string => `\r${what}: ${percent} %`;

/**
 * Runs a generator to its end, and tells a person at a terminal how far it has come; a pipe or a file is told nothing.
 *
 * @param shareOf share of the work that is done at a step, 0 to 1
 */
export function toldOnTerminal<Step, Result>(
  what: string,
  steps: Generator<Step, Result>,
  shareOf: (step: Step) => number,
  terminal: Pick<NodeJS.WriteStream, 'isTTY' | 'write'> = process.stderr,
): Result {
  if (!terminal.isTTY) return finish(steps);
  for (let told = -1; ; ) {
    const step = steps.next();
    if (step.done) {
      terminal.write(TAKEN_AWAY);
      return step.value;
    }
    const percent = Math.floor(100 * shareOf(step.value));
    if (percent === told) continue;
    told = percent;
    terminal.write(lineOf(what, percent));
  }
}

/** The same for work that goes on elsewhere too: what is told of it comes in between steps. */
export async function toldOfTwo<Step, Result>(
  what: string,
  steps: AsyncGenerator<Step, Result>,
  shareOf: (step: Step) => number,
  terminal: Pick<NodeJS.WriteStream, 'isTTY' | 'write'> = process.stderr,
): Promise<Result> {
  for (let told = -1; ; ) {
    const step = await steps.next();
    if (step.done) {
      if (terminal.isTTY) terminal.write(TAKEN_AWAY);
      return step.value;
    }
    const percent = Math.floor(100 * shareOf(step.value));
    if (percent === told) continue;
    told = percent;
    if (terminal.isTTY) terminal.write(lineOf(what, percent));
    await new Promise((resolve) => setImmediate(resolve));
  }
}
