import type { Qos } from './connect-packet.ts';
import type { BrokerLimits } from './limits.ts';
import type { Message } from './message.ts';
import { PacketType } from './packet-check.ts';
import type { QueueRoom } from './queue-room.ts';
import { answer, publish } from './server-packets.ts';

const MAX_PACKET_ID = 65_535;

/** A message for one client that is not wholly acknowledged. */
interface Outgoing {
  readonly message: Message;
  readonly qos: 1 | 2;
  readonly retain: boolean;
  /** QoS 2: PUBREC has come, and PUBREL is all that may be sent again. */
  released: boolean;
}

/** With QoS 0 all subscribers get the same bytes: they are put together once. */
function plainPacket(message: Message, retain: boolean): Buffer {
  if (retain) return publish(message, 0, true, false, 0);
  message.plainPacket ??= publish(message, 0, false, false, 0);
  return message.plainPacket;
}

/** Whatever takes packets for the client: its connection. */
export interface SessionLink {
  send(packet: Buffer): void;
  /** Sends what need not come; false where too much waits for clients that do not read. */
  sendIfRoom(packet: Buffer): boolean;
  /** Ends the connection because another has taken its place. */
  replaced(): void;
}

/**
 * One client's session, MQTT 3.1.1 section 3.1.2.4: subscriptions, messages on their way to it, and packet identifiers
 * of QoS 2 messages from it. With clean session 0 it outlives the connection.
 */
export class Session {
  readonly clientId: string;
  readonly account: string;
  readonly clean: boolean;
  readonly subscriptions = new Map<string, Qos>();
  /** QoS 2 messages from the client by packet identifier, until PUBREL: true once PUBREC is due [MQTT-4.3.3-2]. */
  readonly received = new Map<number, boolean>();
  /** null while the client is away. */
  link: SessionLink | null = null;
  /** Seconds since the client left. */
  absentS = 0;
  /** Messages that it did not get because its queue was full. */
  dropped = 0;
  readonly #limits: BrokerLimits;
  readonly #room: QueueRoom;
  readonly #inFlight = new Map<number, Outgoing>();
  readonly #queue: Outgoing[] = [];
  #bytes = 0;
  #lastId = 0;

  constructor(parts: { clientId: string; account: string; clean: boolean; limits: BrokerLimits; room: QueueRoom }) {
    this.clientId = parts.clientId;
    this.account = parts.account;
    this.clean = parts.clean;
    this.#limits = parts.limits;
    this.#room = parts.room;
  }

  /** Sends a message, or keeps it for later; with QoS 0 an absent client misses it. */
  deliver(message: Message, granted: Qos, retain: boolean): void {
    const qos = Math.min(message.qos, granted) as Qos;
    if (qos === 0) {
      if (this.link !== null && !this.link.sendIfRoom(plainPacket(message, retain))) this.dropped++;
      return;
    }
    const { maxQueuedMessages, maxUnreadBytes, maxInFlightMessages } = this.#limits;
    const sendable = this.link !== null && this.#queue.length === 0 && this.#inFlight.size < maxInFlightMessages;
    const full = this.#queue.length + (this.link === null ? this.#inFlight.size : 0) >= maxQueuedMessages;
    const { length } = message.payload;
    if ((full && !sendable) || this.#bytes + length > maxUnreadBytes || !this.#room.take(length)) {
      this.dropped++;
      return;
    }
    this.#bytes += length;
    const outgoing: Outgoing = { message, qos, retain, released: false };
    if (sendable) this.#sendFirst(outgoing);
    else this.#queue.push(outgoing);
  }

  /**
   * After CONNACK of a session that was kept: sends again what was sent and not acknowledged, in the same order and with
   * the same identifiers [MQTT-4.4.0-1], then what was queued.
   */
  resume(): void {
    for (const [packetId, { message, qos, retain, released }] of this.#inFlight)
      this.link?.send(released ? answer(PacketType.PUBREL, packetId) : publish(message, qos, retain, true, packetId));
    this.#sendQueued();
  }

  /** The session ends: what waits is nobody's any more. */
  end(): void {
    this.#room.give(this.#inFlight.size + this.#queue.length, this.#bytes);
    this.#bytes = 0;
    this.#inFlight.clear();
    this.#queue.length = 0;
  }

  /** PUBACK; identifiers that are not in use are nobody's, and ignored. */
  acknowledged(packetId: number): void {
    if (this.#inFlight.get(packetId)?.qos === 1) this.#done(packetId);
  }

  /** PUBREC: answered with PUBREL, also for an identifier that is not known any more, so that the handshake ends. */
  recorded(packetId: number): void {
    const outgoing = this.#inFlight.get(packetId);
    if (outgoing?.qos === 1) return;
    if (outgoing !== undefined) outgoing.released = true;
    this.link?.send(answer(PacketType.PUBREL, packetId));
  }

  /** PUBCOMP. */
  completed(packetId: number): void {
    if (this.#inFlight.get(packetId)?.released === true) this.#done(packetId);
  }

  #done(packetId: number): void {
    const { length } = this.#inFlight.get(packetId)!.message.payload;
    this.#bytes -= length;
    this.#room.give(1, length);
    this.#inFlight.delete(packetId);
    this.#sendQueued();
  }

  #sendQueued(): void {
    while (this.link !== null && this.#queue.length > 0 && this.#inFlight.size < this.#limits.maxInFlightMessages)
      this.#sendFirst(this.#queue.shift()!);
  }

  #sendFirst(outgoing: Outgoing): void {
    // An identifier in use may not be used again [MQTT-2.3.1-2].
    do this.#lastId = this.#lastId >= MAX_PACKET_ID ? 1 : this.#lastId + 1;
    while (this.#inFlight.has(this.#lastId));
    this.#inFlight.set(this.#lastId, outgoing);
    this.link!.send(publish(outgoing.message, outgoing.qos, outgoing.retain, false, this.#lastId));
  }
}
