import type { BrokerLimits } from './limits.ts';

/** A message as aedes keeps it for an absent client; a PUBREL has no payload. */
interface KeptMessage {
  readonly payload?: Buffer;
}

/** The parts of aedes' memory of sessions that are bounded here. */
export interface SessionMemory {
  outgoingEnqueueCombi(subscriptions: { clientId: string }[], packet: KeptMessage): Promise<void>;
  outgoingClearMessageId(client: { id: string }, packet: object): Promise<KeptMessage | undefined>;
  outgoingStream(client: { id: string }): AsyncIterable<object>;
  cleanSubscriptions(client: { id: string }): Promise<void>;
  cleanIncoming(client: { id: string }): Promise<void>;
}

/** One client's session: MQTT 3.1.1 section 3.1.2.4, clean session 0. */
interface Session {
  /** Seconds since its client left; -1 while it is here. */
  absentS: number;
  messages: number;
  bytes: number;
}

/**
 * The sessions of clients that asked for one, and their bounds. aedes keeps subscriptions and queued messages in
 * memory, for ever and without a limit: here a session ends when its client stays away, and its queue has a length.
 */
export class Sessions {
  /** Messages that were not kept for an absent client because its queue was full. */
  dropped = 0;
  readonly #limits: BrokerLimits;
  readonly #sessions = new Map<string, Session>();
  #memory: SessionMemory | null = null;
  readonly #onExpired: (clientId: string) => void;

  constructor(limits: BrokerLimits, onExpired: (clientId: string) => void) {
    this.#limits = limits;
    this.#onExpired = onExpired;
  }

  get size(): number {
    return this.#sessions.size;
  }

  has(clientId: string): boolean {
    return this.#sessions.has(clientId);
  }

  /** Whether one more session may be kept, or this one is already. */
  mayKeep(clientId: string): boolean {
    return this.#sessions.has(clientId) || this.#sessions.size < this.#limits.maxSessions;
  }

  joined(clientId: string, cleanSession: boolean): void {
    const session = this.#sessions.get(clientId);
    if (cleanSession) this.#sessions.delete(clientId);
    else if (session !== undefined) session.absentS = -1;
    else this.#sessions.set(clientId, { absentS: -1, messages: 0, bytes: 0 });
  }

  left(clientId: string): void {
    const session = this.#sessions.get(clientId);
    if (session !== undefined) session.absentS = 0;
  }

  /** Called once a second: ends the sessions of clients that have been away too long. */
  sweep(): void {
    for (const [clientId, session] of this.#sessions) {
      if (session.absentS < 0 || ++session.absentS <= this.#limits.sessionExpiryS) continue;
      this.#sessions.delete(clientId);
      this.#onExpired(clientId);
    }
  }

  /** Puts the bounds around aedes' memory. */
  guard(memory: SessionMemory): void {
    this.#memory = memory;
    const enqueue = memory.outgoingEnqueueCombi.bind(memory);
    const clear = memory.outgoingClearMessageId.bind(memory);
    memory.outgoingEnqueueCombi = (subscriptions, packet) =>
      enqueue(
        subscriptions.filter(({ clientId }) => this.#admit(clientId, packet.payload?.length ?? 0)),
        packet,
      );
    memory.outgoingClearMessageId = async (client, packet) => {
      const cleared = await clear(client, packet);
      if (cleared !== undefined) this.#cleared(client.id, cleared.payload?.length ?? 0);
      return cleared;
    };
  }

  /** Forgets what aedes keeps of a session. */
  async forget(clientId: string): Promise<void> {
    const memory = this.#memory;
    if (memory === null) return;
    const client = { id: clientId };
    await memory.cleanSubscriptions(client);
    await memory.cleanIncoming(client);
    for await (const packet of memory.outgoingStream(client)) await memory.outgoingClearMessageId(client, packet);
  }

  #admit(clientId: string, bytes: number): boolean {
    const session = this.#sessions.get(clientId);
    if (session === undefined) return true;
    const { maxQueuedMessages, maxUnreadBytes } = this.#limits;
    if (session.messages >= maxQueuedMessages || session.bytes + bytes > maxUnreadBytes) {
      this.dropped++;
      return false;
    }
    session.messages++;
    session.bytes += bytes;
    return true;
  }

  #cleared(clientId: string, bytes: number): void {
    const session = this.#sessions.get(clientId);
    if (session === undefined || session.messages === 0) return;
    session.messages--;
    // A QoS 2 message has become a PUBREL by now, which no longer tells its size.
    session.bytes = session.messages === 0 ? 0 : Math.max(0, session.bytes - bytes);
  }
}
