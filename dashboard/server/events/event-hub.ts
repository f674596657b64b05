import type { Response } from 'express';
import { AppError } from '../../../collector/contract/index.ts';

/** What is sent to every open page. */
export interface HubLimits {
  readonly clients: number;
  /** Bytes that may wait for a client that does not read, before it is dropped. */
  readonly waitingBytes: number;
}

/**
 * Server-sent events (WHATWG HTML, section 9.2) to a bounded number of pages. A page that does not read what it
 * is sent is dropped, so that it can neither fill the memory nor hold the others up; it connects anew.
 */
export class EventHub {
  readonly #limits: HubLimits;
  readonly #open = new Set<Response>();
  #dropped = 0;

  constructor(limits: HubLimits) {
    this.#limits = limits;
  }

  get clients(): number {
    return this.#open.size;
  }

  /** Pages dropped since the start because they did not read. */
  get dropped(): number {
    return this.#dropped;
  }

  /**
   * Turns a response into a stream and sends it `first`.
   *
   * @throws {AppError} TOO_MANY when as many streams as allowed are open
   */
  join(response: Response, first: string): void {
    if (this.#open.size >= this.#limits.clients)
      throw new AppError('TOO_MANY', `${this.#open.size} event streams are open and no more are allowed; close a page`);
    response.status(200).set({
      'Content-Type': 'text/event-stream',
      'Cache-Control': 'no-store, no-transform',
      'X-Accel-Buffering': 'no',
    });
    response.flushHeaders();
    this.#open.add(response);
    response.on('close', () => this.#open.delete(response));
    // Sent to a page that has gone: the socket's own close event follows and takes it off the list.
    response.on('error', () => this.#open.delete(response));
    response.write(`retry: 2000\n\n${first}`);
  }

  send(message: string): void {
    for (const response of this.#open) {
      if (response.writableLength > this.#limits.waitingBytes) {
        this.#open.delete(response);
        this.#dropped += 1;
        response.destroy();
      } else response.write(message);
    }
  }

  close(): void {
    for (const response of this.#open) response.end();
    this.#open.clear();
  }
}

/** One event with a JSON value in the stream's text format. */
export function eventText(name: string, value: unknown): string {
  return `event: ${name}\ndata: ${JSON.stringify(value)}\n\n`;
}
