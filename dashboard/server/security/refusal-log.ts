import { printable } from '../../../collector/contract/index.ts';
import type { Clock } from '../clock.ts';

/** Lines a minute; the rest is counted. Source: own choice, because a log is read by people and must not be a way to fill a disk. */
const LINES_PER_MINUTE = 30;

/** What was refused. */
export interface Refusal {
  readonly status: number;
  readonly code: string;
  readonly method: string;
  readonly path: string;
  readonly remote: string;
  readonly who: string;
}

/** A line of the service's log. */
export type Say = (fields: object, message: string) => void;

/** Tells of refused requests, so many a minute, without anything that could be a secret: no query, no header, no body. */
export class RefusalLog {
  readonly #say: Say;
  readonly #clock: Clock;
  /** Of the minute that runs since the first of them. */
  #refused = 0;
  #wait: (() => void) | null = null;
  readonly #ended = new WeakSet<object>();

  constructor(say: Say, clock: Clock) {
    this.#say = say;
    this.#clock = clock;
  }

  /** The connection was ended with a refusal of its own: that of the request which it broke off would tell the same again. */
  ended(connection: object): void {
    this.#ended.add(connection);
  }

  /** @param connection that the request came by, where that may have been ended already */
  add({ path, ...refusal }: Refusal, connection?: object): void {
    if (connection !== undefined && this.#ended.has(connection)) return;
    this.#wait ??= this.#clock.after(60_000, () => this.endMinute());
    if (this.#refused++ < LINES_PER_MINUTE) this.#say({ ...refusal, path: shownPath(path) }, 'a request was refused');
  }

  /** Tells how many of the minute were not told one by one; also for the end of the service, or nobody would hear of them. */
  endMinute(): void {
    this.#wait?.();
    this.#wait = null;
    const more = this.#refused - LINES_PER_MINUTE;
    this.#refused = 0;
    if (more > 0) this.#say({ more }, 'more requests were refused within the minute');
  }
}

/** A path without what may be a wall's secret. */
function shownPath(path: string): string {
  return printable(path.replace(/^(\/+wall)\/.*/i, '$1/…'), 120);
}
