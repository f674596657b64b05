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
  #minute = 0;
  #lines = 0;
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
    const minute = Math.floor(this.#clock.now() / 60_000);
    if (minute !== this.#minute) {
      const more = this.#lines - LINES_PER_MINUTE;
      if (more > 0) this.#say({ more }, 'more requests were refused in the minute before');
      this.#minute = minute;
      this.#lines = 0;
    }
    if (this.#lines++ < LINES_PER_MINUTE) this.#say({ ...refusal, path: shownPath(path) }, 'a request was refused');
  }
}

/** A path without what may be a wall's secret. */
function shownPath(path: string): string {
  return printable(path.replace(/^(\/+wall)\/.*/i, '$1/…'), 120);
}
