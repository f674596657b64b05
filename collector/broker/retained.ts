import type { BrokerLimits } from './limits.ts';

/** The part of aedes' memory of retained messages that is bounded here. */
export interface RetainedMemory {
  storeRetained(packet: RetainedPacket): Promise<void>;
}

interface RetainedPacket {
  readonly topic: string;
  readonly payload: Buffer;
}

/**
 * Bounds the retained messages outside the contract's topics: aedes keeps as many as anybody sends. What does not fit
 * is passed on to subscribers and not retained.
 */
export class RetainedBounds {
  /** Messages that were not retained. */
  dropped = 0;
  readonly #limits: BrokerLimits;
  readonly #bytesOf = new Map<string, number>();
  #bytes = 0;

  constructor(limits: BrokerLimits) {
    this.#limits = limits;
  }

  /** Puts the bounds around aedes' memory; topics of which `ours` is true are let through. */
  guard(memory: RetainedMemory, ours: (topic: string) => boolean): void {
    const store = memory.storeRetained.bind(memory);
    memory.storeRetained = async (packet) => {
      if (ours(packet.topic)) await store(packet);
      else if (this.#admit(packet.topic, packet.payload.length))
        // The payload is a view of a larger block of received bytes, which would be kept with it.
        await store(
          Object.assign(Object.create(Object.getPrototypeOf(packet)), packet, { payload: Buffer.from(packet.payload) }),
        );
    };
  }

  #admit(topic: string, bytes: number): boolean {
    const before = this.#bytesOf.get(topic);
    if (bytes === 0) {
      this.#bytes -= before ?? 0;
      this.#bytesOf.delete(topic);
      return true;
    }
    const total = this.#bytes - (before ?? 0) + bytes;
    if (
      total > this.#limits.maxRetainedBytes ||
      (before === undefined && this.#bytesOf.size >= this.#limits.maxRetainedMessages)
    ) {
      this.dropped++;
      return false;
    }
    this.#bytesOf.set(topic, bytes);
    this.#bytes = total;
    return true;
  }
}
