import process from 'node:process';
import { finish } from '../analyzer/index.ts';

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
      // The line is taken away: what follows is the answer.
      terminal.write('\r\u001b[K');
      return step.value;
    }
    const percent = Math.floor(100 * shareOf(step.value));
    if (percent === told) continue;
    told = percent;
    terminal.write(`\r${what}: ${percent} %`);
  }
}
