import type { Socket } from 'node:net';
import { admit } from './admission.ts';
import type { Client, ClientLink } from './client.ts';
import { readConnect } from './connect-packet.ts';
import type { ConnectionHost, HostedConnection } from './connection-host.ts';
import type { Delivery, DeliveryOrigin } from './delivery.ts';
import { Departures } from './departures.ts';
import { Owed } from './owed.ts';
import { PacketType, packetFault } from './packet-check.ts';
import { PacketScanner } from './packet-scanner.ts';
import type { PublishHead } from './publish-head.ts';
import { publishRoute } from './publish-route.ts';
import { Hold, ReadingHold } from './reading-hold.ts';
import { connack } from './server-packets.ts';
import { Silence } from './silence.ts';

/** Bytes of one connection that are worked on before the others have their turn. Source: own choice, one TCP read of
 * Node's: what a flooding client has in front of another's message. */
const TURN_BYTES = 65_536;

/**
 * One client's connection. It cuts the bytes into packets and checks them; publishes below the root go straight to
 * the intake and are acknowledged once committed.
 */
export class Connection implements ClientLink, DeliveryOrigin, HostedConnection {
  readonly #host: ConnectionHost;
  readonly #socket: Socket;
  readonly #scanner: PacketScanner;
  readonly #hold: ReadingHold;
  readonly #owed: Owed;
  readonly #departures: Departures;
  readonly #silence = new Silence();
  #client: Client | null = null;
  #flushing = false;
  #willDue = false;
  #deniedBefore = false;
  #closing = false;
  #processing = false;
  #turn = -1;
  #turnBytes = 0;

  constructor(host: ConnectionHost, socket: Socket) {
    this.#host = host;
    this.#socket = socket;
    this.#scanner = new PacketScanner(host.limits.maxPacketBytes);
    this.#hold = new ReadingHold(socket);
    this.#owed = new Owed(host.limits);
    this.#departures = new Departures(socket, host.counters);
  }

  start(): void {
    const socket = this.#socket;
    socket.on('data', (chunk) => this.#received(chunk));
    socket.on('error', (error) => this.#close(error.message, false));
    socket.on('close', () => this.#closed());
  }

  get clientId(): string | null {
    return this.#client?.session.clientId ?? null;
  }

  get account(): string | null {
    return this.#client?.session.account ?? null;
  }

  /** The client's address, for the log. */
  get remote(): string {
    return `${this.#socket.remoteAddress ?? '?'}:${this.#socket.remotePort ?? 0}`;
  }

  /** The intake has room again. */
  resume(): void {
    this.#release(Hold.SATURATED);
  }

  nextTurn(): void {
    this.#release(Hold.TURN);
  }

  /** Reads no more; what has been read is still acknowledged. */
  stopReading(): void {
    this.#hold.add(Hold.STOPPING);
  }

  /** Ends what has been silent for too long, and reads on what had sent too much. */
  sweep(): void {
    this.#release(Hold.RATE);
    const phase = this.#closing ? 'ended' : this.#client === null ? 'connecting' : 'connected';
    // A socket that we do not read proves nothing about its client.
    if (phase === 'connected' && this.#hold.held) this.#silence.heard();
    const why = this.#silence.sweep(phase, this.#client?.connect.keepAliveS ?? 0, this.#host.limits.connectTimeoutS);
    if (why === null) return;
    if (phase === 'ended') this.#socket.destroy();
    else this.#close(why, phase === 'connecting');
  }

  /** Ends the connection at once. */
  destroy(): void {
    this.#close('it does not end by itself', false);
    this.#socket.destroy();
  }

  settled(delivery: Delivery, accepted: boolean): void {
    this.#owed.settled(delivery);
    if (accepted) this.#host.forward(delivery, delivery.packetId > 0 ? 1 : 0);
    if (this.#closing) return;
    if (delivery.packetId > 0) this.#acknowledge(delivery.packetId);
    this.#checkWaiting();
  }

  send(packet: Buffer): void {
    if (this.#closing) return;
    this.#departures.add(packet);
    this.#checkUnread();
    this.#flushSoon();
  }

  /** Writes what has gathered, PUBACKs first, then takes up what had to wait for them. */
  flush(): void {
    this.#flushing = false;
    if (this.#closing) return;
    this.#departures.write();
    this.#checkUnread();
    if (this.#owed.pubacks === 0) this.#release(Hold.ORDER);
  }

  /** Ends the connection after what has been written, without a will: the broker stops. */
  finish(): void {
    this.#willDue = false;
    if (!this.#closing) this.#end();
  }

  goodbye(): void {
    this.finish();
  }

  replaced(): void {
    this.#close('another connection has come with its client id', false);
  }

  fail(why: string): void {
    this.#close(why, true);
  }

  denied(what: string): void {
    this.#host.denied(this, what, !this.#deniedBefore);
    this.#deniedBefore = true;
  }

  #received(chunk: Buffer): void {
    this.#silence.heard();
    this.#scanner.push(chunk);
    this.#process();
  }

  #process(): void {
    // Not entered twice: a packet may bring about what releases a hold.
    if (this.#processing) return;
    this.#processing = true;
    const scanner = this.#scanner;
    // Several chunks may come in one turn.
    const turn = this.#host.turn();
    if (turn !== this.#turn) this.#turnBytes = 0;
    this.#turn = turn;
    while (!this.#hold.held && !this.#closing && scanner.next()) {
      this.#turnBytes += scanner.end - scanner.start;
      this.#packet(scanner);
      if (this.#turnBytes < TURN_BYTES || this.#hold.held) continue;
      this.#hold.add(Hold.TURN);
      this.#host.queueTurn(this);
    }
    this.#processing = false;
    if (!this.#closing && scanner.fault !== null) this.#close(scanner.fault, true);
  }

  #packet(scanner: PacketScanner): void {
    const { buffer, start, body, end } = scanner;
    const type = buffer[start]! >> 4;
    if (this.#client === null) {
      if (type === PacketType.CONNECT) this.#connect(readConnect(buffer, start, body, end, this.#host.limits));
      else this.#close('the first packet is not CONNECT', true);
    } else if (type === PacketType.PUBLISH) this.#publish(scanner, this.#client);
    else {
      const fault = packetFault(buffer, start, body, end, this.#host.limits);
      if (fault === null) this.#client.packet(type, buffer, body, end);
      else this.#close(fault, true);
    }
  }

  #connect(read: ReturnType<typeof readConnect>): void {
    const admission = admit(read, this.#host, this);
    if (!admission.ok) {
      if (admission.returnCode !== null) this.#socket.write(connack(false, admission.returnCode));
      this.#close(admission.fault, true);
      return;
    }
    this.#client = admission.client;
    this.#willDue = admission.client.connect.will !== null;
    // Before everything else [MQTT-3.2.0-1].
    this.#socket.write(connack(admission.present, 0));
    if (admission.present) admission.client.session.resume();
  }

  #publish(scanner: PacketScanner, client: Client): void {
    const { buffer, start, body, end } = scanner;
    const host = this.#host;
    const head = host.publishHead;
    if (!head.read(buffer, start, body, end, host.knownTopic)) {
      this.#close(packetFault(buffer, start, body, end, host.limits) ?? 'the PUBLISH cannot be read', true);
      return;
    }
    const route = publishRoute(head, end - start, this.#owed, host, client.session.account);
    if (typeof route === 'number') {
      scanner.unread();
      this.#hold.add(route);
      return;
    }
    const { qos, packetId } = head;
    const { topic } = head.known;
    if (qos === 2 && !client.isNew(packetId)) return;
    const payload = buffer.subarray(head.payloadStart, end);
    if (route === 'intake') {
      const origin = qos === 2 ? this.#secondOrigin(client, packetId) : this;
      const delivery = {
        topic,
        payload,
        clientId: client.session.clientId,
        origin,
        packetId: qos === 1 ? packetId : 0,
      };
      this.#owed.taken(delivery);
      host.sink.take(delivery);
      return;
    }
    if (route === 'subscribers') host.sessions.publish(topic.name, payload, qos, head.retain, false);
    else if (route === 'denied') this.denied(`publish to ${JSON.stringify(topic.name)}`);
    else host.counters.discarded++;
    this.#settleNow(head, client);
  }

  #settleNow({ qos, packetId }: PublishHead, client: Client): void {
    if (qos === 1) this.#acknowledge(packetId);
    else if (qos === 2) client.taken(packetId);
  }

  /** Where a QoS 2 message below the root learns of its end: PUBREC instead of PUBACK. */
  #secondOrigin(client: Client, packetId: number): DeliveryOrigin {
    return {
      settled: (delivery, accepted) => {
        this.#owed.settled(delivery);
        if (accepted) this.#host.forward(delivery, 2);
        client.taken(packetId);
        if (!this.#closing) this.#checkWaiting();
      },
    };
  }

  #acknowledge(packetId: number): void {
    this.#departures.acknowledge(packetId);
    this.#flushSoon();
  }

  #flushSoon(): void {
    if (this.#flushing) return;
    this.#flushing = true;
    this.#host.flushSoon(this);
  }

  #release(reason: number): void {
    if (!this.#hold.remove(reason) || this.#closing) return;
    this.#process();
    if (!this.#closing) this.#hold.resume();
  }

  #checkWaiting(): void {
    if (this.#hold.has(Hold.WAITING) && this.#owed.low) this.#release(Hold.WAITING);
  }

  #checkUnread(): void {
    if (this.#closing) return;
    const { unread } = this.#departures;
    if (unread <= this.#host.limits.maxUnreadBytes) return;
    this.#departures.forget();
    this.#close(`${unread} bytes wait for it and it does not read them`, true);
    this.#socket.destroy();
  }

  #close(why: string, faulted: boolean): void {
    if (this.#closing) return;
    this.#host.closing(this, why, faulted);
    this.#end();
  }

  #end(): void {
    this.#closing = true;
    this.#departures.write();
    this.#silence.heard();
    this.#socket.destroySoon();
    this.#leave();
  }

  #closed(): void {
    this.#closing = true;
    this.#leave();
    this.#host.left(this);
  }

  /** The session goes on without this connection, or ends; the will is published once. */
  #leave(): void {
    if (this.#client === null) return;
    const { session, connect } = this.#client;
    this.#host.sessions.left(session, this);
    if (!this.#willDue) return;
    this.#willDue = false;
    this.#host.will(session.clientId, connect.will!);
  }
}
