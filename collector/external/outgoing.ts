import type { IPublishPacket } from 'mqtt-packet';

/** Messages in flight at once. Source: own choice, because common brokers take some twenty from a client. */
const MOST_IN_FLIGHT = 20;

interface Entry {
  readonly topic: string;
  readonly payload: Buffer;
}

/**
 * Retained messages on their way out: only the newest of each topic counts, and a new connection gets all of them again, because
 * the broker may have forgotten them.
 */
export class Outgoing {
  readonly #latest = new Map<string, Buffer>();
  /** Topics whose newest message has not been sent on this connection, in order. */
  #unsent = new Set<string>();
  readonly #inFlight = new Map<number, Entry>();
  #lastId = 0;
  #window = MOST_IN_FLIGHT;

  put(topic: string, payload: Buffer): void {
    this.#latest.set(topic, payload);
    this.#unsent.add(topic);
  }

  /** Messages that the broker has not acknowledged. */
  get waiting(): number {
    return this.#unsent.size + this.#inFlight.size;
  }

  /** A new connection. @param receiveMaximum of the broker, where it names one */
  begin(receiveMaximum: number | undefined): void {
    this.#inFlight.clear();
    this.#unsent = new Set(this.#latest.keys());
    this.#window = Math.min(MOST_IN_FLIGHT, receiveMaximum ?? MOST_IN_FLIGHT);
  }

  /** What may be sent now. */
  *next(): Generator<IPublishPacket> {
    for (const topic of this.#unsent) {
      if (this.#inFlight.size >= this.#window) return;
      this.#unsent.delete(topic);
      const payload = this.#latest.get(topic)!;
      const messageId = this.newId();
      this.#inFlight.set(messageId, { topic, payload });
      yield { cmd: 'publish', topic, payload, qos: 1, retain: true, dup: false, messageId };
    }
  }

  /** @returns the topic that was acknowledged; null when it was none of ours */
  acknowledged(messageId: number): string | null {
    const entry = this.#inFlight.get(messageId);
    this.#inFlight.delete(messageId);
    return entry?.topic ?? null;
  }

  /** A packet id that nothing in flight has. */
  newId(): number {
    do this.#lastId = (this.#lastId % 65_535) + 1;
    while (this.#inFlight.has(this.#lastId));
    return this.#lastId;
  }
}
