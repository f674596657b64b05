import type { Socket } from 'node:net';
import { admit } from './admission.ts';
import type { Client, ClientLink } from './client.ts';
import { readConnect } from './connect-packet.ts';
import type { ConnectionHost, HostedConnection } from './connection-host.ts';
import { Denials } from './denials.ts';
import { Departures } from './departures.ts';
import { PacketType, packetFault } from './packet-check.ts';
import { PacketScanner } from './packet-scanner.ts';
import { Publishing, type PublishLink } from './publishing.ts';
import { Hold, ReadingHold } from './reading-hold.ts';
import { connack } from './server-packets.ts';
import { Silence } from './silence.ts';
import { TurnShare } from './turn-share.ts';

/**
 * One client's connection. It cuts the bytes into packets and checks them; publishes below the root go straight to
 * the intake and are acknowledged once committed.
 */
export class Connection implements ClientLink, PublishLink, HostedConnection {
  readonly #host: ConnectionHost;
  readonly #socket: Socket;
  readonly #scanner: PacketScanner;
  readonly #hold: ReadingHold;
  readonly #publishing: Publishing;
  readonly #departures: Departures;
  readonly #silence = new Silence();
  readonly #denials = new Denials();
  readonly #share = new TurnShare();
  #client: Client | null = null;
  #willDue = false;
  #closing = false;
  #processing = false;

  constructor(host: ConnectionHost, socket: Socket) {
    this.#host = host;
    this.#socket = socket;
    this.#scanner = new PacketScanner(host.limits.maxPacketBytes);
    this.#hold = new ReadingHold(socket);
    this.#publishing = new Publishing(host, this);
    this.#departures = new Departures(socket, host.counters, () => host.flushSoon(this));
  }

  start(): void {
    this.#socket.on('data', (chunk) => this.#received(chunk));
    this.#socket.on('error', (error) => this.#close(error.message, false));
    this.#socket.on('close', () => this.#closed());
  }

  get clientId(): string | null {
    return this.#client?.session.clientId ?? null;
  }

  get account(): string | null {
    return this.#client?.session.account ?? null;
  }

  get remote(): string {
    return `${this.#socket.remoteAddress ?? '?'}:${this.#socket.remotePort ?? 0}`;
  }

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

  destroy(): void {
    this.#close('it does not end by itself', false);
    this.#socket.destroy();
  }

  get ended(): boolean {
    return this.#closing;
  }

  acknowledge(packetId: number): void {
    this.#departures.acknowledge(packetId);
  }

  eased(): void {
    if (this.#hold.has(Hold.WAITING) && this.#publishing.owed.low) this.#release(Hold.WAITING);
  }

  send(packet: Buffer): void {
    if (this.#closing) return;
    this.#departures.add(packet);
    this.#checkUnread();
  }

  /** Writes what has gathered, PUBACKs first, then takes up what had to wait for them. */
  flush(): void {
    if (this.#closing) return;
    this.#departures.write();
    this.#checkUnread();
    if (this.#publishing.owed.pubacks === 0) this.#release(Hold.ORDER);
  }

  /** Ends the connection after what has been written, without a will: the broker stops, or the client says goodbye. */
  finish(): void {
    this.#willDue = false;
    if (!this.#closing) this.#end();
  }

  replaced(): void {
    this.#close('another connection has come with its client id', false);
  }

  fail(why: string): void {
    this.#close(why, true);
  }

  denied(what: string): void {
    this.#host.denied(this, what, this.#denials.isNews(what));
  }

  #received(chunk: Buffer): void {
    this.#silence.heard();
    this.#scanner.push(chunk);
    // Pieces of a long packet count too: megabytes, taken in as fast as they come, would go before everybody else's packets.
    if (this.#scanner.waiting) this.#spend(chunk.length);
    this.#process();
  }

  #process(): void {
    // Not entered twice: a packet may bring about what releases a hold.
    if (this.#processing) return;
    this.#processing = true;
    const scanner = this.#scanner;
    while (!this.#hold.held && !this.#closing && scanner.next()) {
      const bytes = scanner.end - scanner.start;
      this.#packet(scanner);
      this.#spend(bytes);
    }
    this.#processing = false;
    if (!this.#closing && scanner.fault !== null) this.#close(scanner.fault, true);
  }

  #spend(bytes: number): void {
    if (this.#share.spend(bytes, this.#host.turn()) && this.#hold.addFirst(Hold.TURN)) this.#host.queueTurn(this);
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
    const payload = buffer.subarray(head.payloadStart, end);
    const hold = this.#publishing.take(head, payload, end - start, client);
    if (hold === 0) return;
    scanner.unread();
    this.#hold.add(hold);
  }

  #release(reason: number): void {
    if (!this.#hold.remove(reason) || this.#closing) return;
    this.#process();
    if (!this.#closing) this.#hold.resume();
  }

  #checkUnread(): void {
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
    // What came whole before the client's end counts, its DISCONNECT most of all; only its turn had not come yet.
    while (!this.#closing && this.#hold.has(Hold.TURN)) this.#release(Hold.TURN);
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
