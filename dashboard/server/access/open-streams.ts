import type { Request, Response } from 'express';
import type { Clock } from '../clock.ts';
import { callerOf } from './caller.ts';
import type { Desk } from './desk.ts';

/** How soon a stream ends after its session did, ms. Source: own choice, within a wall's heartbeat. */
const LOOK_MS = 2000;

/** Streams that outlive the request that opened them: each ends soon after whoever opened it may no longer listen. */
export class OpenStreams {
  readonly #desk: Desk | null;
  readonly #clock: Clock;
  readonly #open = new Map<Response, Request>();
  #stop: (() => void) | null = null;

  constructor(desk: Desk | null, clock: Clock) {
    this.#desk = desk;
    this.#clock = clock;
  }

  add(request: Request, response: Response): void {
    this.#open.set(response, request);
    response.on('close', () => this.#open.delete(response));
  }

  start(): void {
    this.#stop = this.#clock.every(LOOK_MS, () => this.#look());
  }

  stop(): void {
    this.#stop?.();
    this.#stop = null;
  }

  #look(): void {
    for (const [response, request] of this.#open) {
      const still = this.#desk?.identify(request.headers, callerOf(response), this.#clock.now());
      if (still?.role === null) response.end();
    }
  }
}
