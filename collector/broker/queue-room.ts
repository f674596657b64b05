/** What a waiting message takes beside its payload, bytes. Source: own choice: measured, objects and topic of a short one. */
const MESSAGE_BYTES = 200;

/** The memory that messages of all clients may take while they wait to be sent or acknowledged. */
export class QueueRoom {
  readonly #most: number;
  readonly #ofMessage: number;
  #bytes = 0;

  /**
   * @param most bytes
   * @param ofMessage what one takes beside its payload, bytes
   */
  constructor(most: number, ofMessage = MESSAGE_BYTES) {
    this.#most = most;
    this.#ofMessage = ofMessage;
  }

  /** Takes room for one more message; false when there is none. */
  take(payloadBytes: number): boolean {
    if (this.#bytes + payloadBytes + this.#ofMessage > this.#most) return false;
    this.#bytes += payloadBytes + this.#ofMessage;
    return true;
  }

  /** Gives back what some messages took. */
  give(messages: number, payloadBytes: number): void {
    this.#bytes -= payloadBytes + messages * this.#ofMessage;
  }
}
