import { median } from './table.ts';

/** By the clock and by the processor, s: they differ where other programs run too. */
export class Stopwatch {
  readonly #clock: number[] = [];
  readonly #cpu: number[] = [];
  #start = { clock: 0, cpu: process.cpuUsage() };

  start(): void {
    this.#start = { clock: performance.now(), cpu: process.cpuUsage() };
  }

  stop(): void {
    const { user, system } = process.cpuUsage(this.#start.cpu);
    this.#clock.push((performance.now() - this.#start.clock) / 1e3);
    this.#cpu.push((user + system) / 1e6);
  }

  time(body: () => void): void {
    this.start();
    body();
    this.stop();
  }

  /** Median times by clock and processor, as the table wants them. */
  shown(show: (seconds: number) => string): { measured: string; byProcessor: string } {
    return { measured: show(median(this.#clock)), byProcessor: show(median(this.#cpu)) };
  }
}
