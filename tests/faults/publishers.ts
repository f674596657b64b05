import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';

interface Expected {
  readonly station: string;
  readonly rows: [time: number, flow: number][];
}

/** The publishers' process, what it has been acknowledged so far, and its report at the end. */
export class Publishers {
  acknowledged = 0;
  expected: Expected[] | null = null;
  readonly child: ChildProcess;
  #change: () => void = () => undefined;
  #ended = false;

  constructor(port: number) {
    this.child = fork(fileURLToPath(new URL('publisher-child.ts', import.meta.url)), [String(port), '8', '25'], {
      execArgv: ['--import', 'tsx'],
    });
    this.child.on('message', (message: { acknowledged?: number; expected?: Expected[] }) => {
      this.acknowledged = message.acknowledged ?? this.acknowledged;
      this.expected = message.expected ?? null;
      this.#change();
    });
    this.child.on('exit', () => {
      this.#ended = true;
      this.#change();
    });
  }

  async #changed(): Promise<void> {
    if (this.#ended) throw new Error('the publishers ended by themselves');
    await new Promise<void>((resolve) => (this.#change = resolve));
  }

  async reached(count: number): Promise<void> {
    while (this.acknowledged < count) await this.#changed();
  }

  async finish(): Promise<Expected[]> {
    this.child.send('stop');
    while (this.expected === null) await this.#changed();
    return this.expected;
  }
}
