import { quoted } from '../contract/printable.ts';
import type { ConnectPacket, Qos } from './connect-packet.ts';
import type { ConnectionHost } from './connection-host.ts';
import { PacketType, readFilters } from './packet-check.ts';
import { answer, PINGRESP, suback, unsuback } from './server-packets.ts';
import type { Session, SessionLink } from './session.ts';
import { topicFilterTooLarge } from './wire-text.ts';

/** Return code of a refused filter, MQTT 3.1.1 section 3.9.3. */
const REFUSED = 0x80;

/** A connection as its client needs it. */
export interface ClientLink extends SessionLink {
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
        for (const { filter } of readFilters(buffer, body, end, 0)) this.#host.sessions.unsubscribe(session, filter);
        this.#link.send(unsuback(buffer.readUInt16BE(body)));
        return;
      case PacketType.PINGREQ:
        this.#link.send(PINGRESP);
        return;
      default:
        this.#link.finish();
    }
  }

  /**
   * Whether a QoS 2 message is new. One that was sent again is acknowledged, once its first has been taken, and
   * goes nowhere [MQTT-4.3.3-2].
   */
  isNew(packetId: number): boolean {
    const { received } = this.session;
    const due = received.get(packetId);
    if (due !== undefined) {
      if (due) this.#link.send(answer(PacketType.PUBREC, packetId));
      return false;
    }
    if (received.size >= this.#host.limits.maxInFlightMessages) {
      this.#link.fail(`${received.size} messages of QoS 2 wait for its PUBREL`);
      return false;
    }
    received.set(packetId, false);
    return true;
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
    const asked = readFilters(buffer, body, end, 1);
    const codes = asked.map(({ filter, qos }) => {
      const why = this.#whyNot(filter) ?? (sessions.subscribe(this.session, filter, qos) ? null : 'too many filters');
      if (why === null) return qos;
      this.#link.denied(`subscribe to ${quoted(filter)}: ${why}`);
      return REFUSED;
    });
    this.#link.send(suback(buffer.readUInt16BE(body), codes));
    for (const [index, { filter }] of asked.entries()) {
      const granted = codes[index]!;
      if (granted === REFUSED) continue;
      for (const message of sessions.retained.matching(filter)) this.session.deliver(message, granted as Qos, true);
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
