import type { LogEntry } from '../../collector/contract/log-entry.ts';
import type { Hall } from '../scenarios/hall.ts';

/** Hands out what the fitters of a hall wrote down, once each, not before its time. */
export class LogFeed {
  readonly #hall: Hall;
  readonly #told = new Map<string, number>();
  #waiting: LogEntry[] = [];

  constructor(hall: Hall) {
    this.#hall = hall;
  }

  take(untilMs: number): LogEntry[] {
    for (const { spec, maintenance } of this.#hall.guns) {
      this.#waiting.push(...maintenance.log.slice(this.#told.get(spec.id) ?? 0));
      this.#told.set(spec.id, maintenance.log.length);
    }
    const due = this.#waiting.filter(({ time }) => time <= untilMs).sort((left, right) => left.time - right.time);
    this.#waiting = this.#waiting.filter(({ time }) => time > untilMs);
    return due;
  }
}
