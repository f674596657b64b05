import { quoted } from '../contract/printable.ts';
import { worth } from './allowance.ts';
import type { Burden } from './burden.ts';
import type { ConnectPacket, Qos } from './connect-packet.ts';
import type { ConnectionHost } from './connection-host.ts';
import { type AskedFilter, PacketType, readFilters } from './packet-check.ts';
import { answer, PINGRESP, suback, unsuback } from './server-packets.ts';
import type { Session, SessionLink } from './session.ts';
import { topicFilterTooLarge } from './wire-text.ts';

/** Return code of a refused filter, MQTT 3.1.1 section 3.9.3. */
const REFUSED = 0x80;

/**
 * What looking at a retained message takes, as bytes of a turn, what sending it takes beside its own, and how many of them go before it is asked whether it goes
 * on. Source: own choice: two thirds of a microsecond, three of them, and ten, at some 64 bytes of packs in one.
 */
const RETAINED_LOOK_BYTES = 40;
const RETAINED_SENT_BYTES = 200;
const RETAINED_BYTES = 640;

/** What a filter takes beside its bytes, as bytes of a turn. Source: own choice: a microsecond or two, as some hundred bytes of a pack. */
const FILTER_BYTES = 200;

/** A connection as its client needs it. */
export interface ClientLink extends SessionLink {
  readonly burden: Burden;
  /** So many bytes more of this turn have been its own. */
  spend(bytes: number): void;
  denied(what: string): void;
  /** DISCONNECT: ends the connection and forgets its will. */
  finish(): void;
  fail(why: string): void;
}

/** A client that has been let in: what it is sent, and what its packets ask for, PUBLISH of QoS 0 and 1 apart. */
export class Client {
  readonly connect: ConnectPacket;
  readonly session: Session;
  readonly #host: ConnectionHost;
  readonly #link: ClientLink;
  /** What is retained for its new subscriptions and not sent yet. */
  #retained: Generator<number, undefined> | null = null;

  constructor(host: ConnectionHost, link: ClientLink, connect: ConnectPacket, session: Session) {
    this.#host = host;
    this.#link = link;
    this.connect = connect;
    this.session = session;
  }

  /** Does what a well-formed packet asks for. */
  packet(type: number, buffer: Buffer, body: number, end: number): void {
    const { session } = this;
    switch (type) {
      case PacketType.PUBACK:
        session.acknowledged(buffer.readUInt16BE(body));
        return;
      case PacketType.PUBREC:
        session.recorded(buffer.readUInt16BE(body));
        return;
      case PacketType.PUBCOMP:
        session.completed(buffer.readUInt16BE(body));
        return;
      case PacketType.PUBREL:
        this.#released(buffer.readUInt16BE(body));
        return;
      case PacketType.SUBSCRIBE:
        this.#subscribe(buffer, body, end);
        return;
      case PacketType.UNSUBSCRIBE:
        for (const { filter } of this.#asked(buffer, body, end, 0)) this.#host.sessions.unsubscribe(session, filter);
        this.#link.send(unsuback(buffer.readUInt16BE(body)));
        return;
      case PacketType.PINGREQ:
        this.#link.send(PINGRESP);
        return;
      default:
        this.#link.finish();
    }
  }

  /** Whether a QoS 2 message came before [MQTT-4.3.3-2]. */
  hasTaken(packetId: number): boolean {
    return this.session.received.has(packetId);
  }

  /** A new QoS 2 message; false where too many are not over, and the connection ends. */
  begins(packetId: number): boolean {
    const { received } = this.session;
    if (received.size >= this.#host.limits.maxInFlightMessages) {
      this.#link.fail(`${received.size} messages of QoS 2 wait for its PUBREL`);
      return false;
    }
    received.set(packetId, false);
    return true;
  }

  /** A QoS 2 message was sent again: PUBREC, once the first has been taken. */
  takenBefore(packetId: number): void {
    if (this.session.received.get(packetId) === true) this.#link.send(answer(PacketType.PUBREC, packetId));
  }

  /** A QoS 2 message has been taken: PUBREC, to the connection that the session has now. */
  taken(packetId: number): void {
    const { received, link } = this.session;
    if (received.has(packetId)) received.set(packetId, true);
    link?.send(answer(PacketType.PUBREC, packetId));
  }

  /** PUBREL: always answered, so that the handshake ends. */
  #released(packetId: number): void {
    this.session.received.delete(packetId);
    this.#link.send(answer(PacketType.PUBCOMP, packetId));
  }

  #subscribe(buffer: Buffer, body: number, end: number): void {
    const { sessions } = this.#host;
    const asked = this.#asked(buffer, body, end, 1);
    const codes = asked.map(({ filter, qos }) => {
      const why = this.#whyNot(filter) ?? (sessions.subscribe(this.session, filter, qos) ? null : 'too many filters');
      if (why === null) return qos;
      this.#link.denied(`subscribe to ${quoted(filter)}: ${why}`);
      return REFUSED;
    });
    this.#link.send(suback(buffer.readUInt16BE(body), codes));
    const granted = asked.flatMap(({ filter }, index) =>
      codes[index] === REFUSED ? [] : [{ filter, qos: codes[index] as Qos }],
    );
    if (granted.length > 0 && !sessions.retained.isEmpty) this.#retained = this.#retainedFor(granted);
  }

  /** The filters of a packet, each of which is something asked for, and some of a turn. */
  #asked(buffer: Buffer, body: number, end: number, trailing: 0 | 1): AskedFilter[] {
    const filters = readFilters(buffer, body, end, trailing);
    this.#link.burden.others(filters.length);
    this.#link.spend(filters.length * FILTER_BYTES);
    return filters;
  }

  /** Sends some of what is retained for a new subscription. @returns bytes of work, 0 where nothing is due, null where it has to wait */
  sendRetained(): number | null {
    if (this.#retained === null) return 0;
    if (!this.#link.burden.may) return null;
    const { done, value } = this.#retained.next();
    if (done) this.#retained = null;
    const bytes = value ?? RETAINED_LOOK_BYTES;
    this.#link.burden.others(worth(bytes));
    return bytes;
  }

  *#retainedFor(granted: readonly AskedFilter[]): Generator<number, undefined> {
    for (const { filter, qos } of granted) {
      let bytes = 0;
      for (const message of this.#host.sessions.retained.matching(filter)) {
        if (message !== null) this.session.deliver(message, qos, true);
        bytes += RETAINED_LOOK_BYTES + (message === null ? 0 : RETAINED_SENT_BYTES + message.payload.length);
        if (bytes < RETAINED_BYTES) continue;
        yield bytes;
        bytes = 0;
      }
    }
  }

  #whyNot(filter: string): string | null {
    const { limits, access } = this.#host;
    // What MQTT 5 and some brokers make of it, one message to one of many, is not done here: better said than waited for.
    if (filter.startsWith('$share/')) return 'shared subscriptions are not taken';
    if (topicFilterTooLarge(filter, limits)) return 'larger than the limit';
    return access.maySubscribe(this.session.account, filter) ? null : 'not of its account';
  }
}
