import type { Socket } from 'node:net';

/** Why a connection's socket is not being read; bits of one number. */
export const Hold = {
  /** A PUBACK would overtake another. */
  ORDER: 1,
  /** The intake has no room. */
  SATURATED: 2,
  /** Too much of this connection waits for its commit. */
  WAITING: 4,
  /** It has had its share of this turn. */
  TURN: 8,
  /** Its station has sent as many messages as it may for now. */
  RATE: 16,
  STOPPING: 32,
  /** It, or its peer, has asked for too much that brings no readings. */
  CREDIT: 64,
} as const;

/** Whether a socket is read, which it is while there is no reason against it. */
export class ReadingHold {
  readonly #socket: Socket;
  #reasons = 0;

  constructor(socket: Socket) {
    this.#socket = socket;
  }

  get held(): boolean {
    return this.#reasons !== 0;
  }

  has(reason: number): boolean {
    return (this.#reasons & reason) !== 0;
  }

  add(reason: number): void {
    this.#reasons |= reason;
    this.#socket.pause();
  }

  /** Adds a reason where there is none yet. @returns whether it did */
  addFirst(reason: number): boolean {
    if (this.held) return false;
    this.add(reason);
    return true;
  }

  /** Takes a reason away; true when it was the last. The socket is read again only after `resume`. */
  remove(reason: number): boolean {
    if ((this.#reasons & reason) === 0) return false;
    this.#reasons &= ~reason;
    return this.#reasons === 0;
  }

  /** Puts a reason in another's place where it is the only one. @returns whether it was */
  swap(reason: number, other: number): boolean {
    if (this.#reasons !== reason) {
      this.#reasons &= ~reason;
      return false;
    }
    this.#reasons = other;
    return true;
  }

  resume(): void {
    if (this.#reasons === 0) this.#socket.resume();
  }
}
