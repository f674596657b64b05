import type { Socket } from 'node:net';
import { admit } from './admission.ts';
import { worth } from './allowance.ts';
import type { Burden } from './burden.ts';
import type { Client, ClientLink } from './client.ts';
import { readConnect } from './connect-packet.ts';
import type { ConnectionHost } from './connection-host.ts';
import { Denials } from './denials.ts';
import { Departures } from './departures.ts';
import { ASKING, PacketType, packetFault } from './packet-check.ts';
import type { PacketScanner } from './packet-scanner.ts';
import { CONNECT_BYTES, type PacketTaker, PacketTurns } from './packet-turns.ts';
import { Publishing, type PublishLink } from './publishing.ts';
import { Hold } from './reading-hold.ts';
import { connack } from './server-packets.ts';
import { Silence } from './silence.ts';

/**
 * One client's connection. It cuts the bytes into packets and checks them; publishes below the root go straight to
 * the intake and are acknowledged once committed.
 */
export class Connection implements ClientLink, PublishLink, PacketTaker {
  readonly burden: Burden;
  readonly #host: ConnectionHost;
  readonly #socket: Socket;
  readonly #turns: PacketTurns;
  readonly #publishing: Publishing;
  readonly #departures: Departures;
  readonly #silence = new Silence();
  readonly #denials = new Denials();
  #client: Client | null = null;
  #willDue = false;
  #closing = false;

  constructor(host: ConnectionHost, socket: Socket, burden: Burden) {
    this.#host = host;
    this.#socket = socket;
    this.burden = burden;
    this.#turns = new PacketTurns(host, socket, this);
    this.#publishing = new Publishing(host, this);
    this.#departures = new Departures(socket, host, () => host.flushSoon(this));
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

  /** Bytes set aside for a packet that is not whole, and for its will. */
  get unfinishedBytes(): number {
    return this.#turns.scanner.keptBytes + (this.#willDue ? this.#client!.connect.will!.payload.length : 0);
  }

  resume(): void {
    this.#turns.release(Hold.SATURATED);
  }

  nextTurn(): void {
    this.#turns.release(Hold.TURN);
  }

  /** Reads no more; what has been read is still acknowledged. */
  stopReading(): void {
    this.#turns.hold(Hold.STOPPING);
  }

  /** Ends what has been silent for too long, and reads on what had sent too much. */
  sweep(): void {
    for (const reason of [Hold.RATE, Hold.CREDIT]) this.#turns.releaseInTurn(reason);
    this.#departures.measure();
    const phase = this.#closing ? 'ended' : this.#client === null ? 'connecting' : 'connected';
    // A socket that we do not read proves nothing about its client.
    if (phase !== 'ended' && this.#turns.waits()) this.#silence.heard();
    const why = this.#silence.sweep(phase, this.#client?.connect.keepAliveS ?? 0, this.#host.limits.connectTimeoutS);
    if (why !== null && phase === 'ended') this.#socket.destroy();
    else if (why !== null) this.#close(why, phase === 'connecting');
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
    if (this.#turns.waits(Hold.WAITING) && this.#publishing.owed.low) this.#turns.release(Hold.WAITING);
    this.#turns.release(Hold.CREDIT);
  }

  send(packet: Buffer): void {
    if (this.#closing) return;
    this.#departures.add(packet);
    this.#checkUnread();
  }

  sendIfRoom(packet: Buffer): boolean {
    if (this.#closing || !this.#departures.addIfRoom(packet)) return this.#closing;
    this.#checkUnread();
    return true;
  }

  /** Writes what has gathered, PUBACKs first, then takes up what had to wait for them. */
  flush(): void {
    if (this.#closing) return;
    this.#departures.write();
    this.#checkUnread();
    if (this.#publishing.owed.answers === 0) this.#turns.release(Hold.ORDER);
  }

  /** Ends the connection after what has been written, without a will: the broker stops, or the client says goodbye. */
  finish(): void {
    this.#willDue = false;
    this.burden.noWill();
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

  spend(bytes: number): void {
    this.#turns.spend(bytes);
  }

  sendDue(): number | null {
    return this.#client === null ? 0 : this.#client.sendRetained();
  }

  #received(chunk: Buffer): void {
    this.#turns.received(chunk);
    // Single bytes of a short packet, one now and then, are no sign of life.
    if (this.#client !== null && this.#turns.scanner.isLong) this.#silence.heard();
  }

  packet(scanner: PacketScanner): void {
    this.#silence.heard();
    const { buffer, start, body, end } = scanner;
    const type = buffer[start]! >> 4;
    if (this.#client === null) {
      if (type !== PacketType.CONNECT) this.#close('the first packet is not CONNECT', true);
      else if (!this.burden.connects(worth(end - start))) this.#putOff();
      else this.#connect(readConnect(buffer, start, body, end, this.#host.limits));
    } else if (type === PacketType.PUBLISH) {
      const verdict = this.#publishing.packet(scanner, this.#client);
      if (typeof verdict === 'string') this.#close(verdict, true);
      else if (verdict !== 0) this.#turns.putOff(verdict);
    } else {
      const fault = packetFault(buffer, start, body, end, this.#host.limits);
      if (fault !== null) this.#close(fault, true);
      else if (ASKING.has(type) && !this.burden.asks()) this.#putOff();
      else this.#client.packet(type, buffer, body, end);
    }
  }

  /** The packet at hand is looked at again later: too much was asked for. */
  #putOff(): void {
    this.#host.counters.throttled++;
    this.#turns.putOff(Hold.CREDIT);
  }

  #connect(read: ReturnType<typeof readConnect>): void {
    this.spend(CONNECT_BYTES);
    const admission = admit(read, this.#host, this);
    if (!admission.ok) {
      this.burden.wasted();
      if (admission.returnCode !== null) this.#socket.write(connack(false, admission.returnCode));
      this.#close(admission.fault, true);
      return;
    }
    this.#client = admission.client;
    this.#willDue = admission.client.connect.will !== null;
    if (!this.#willDue) this.burden.noWill();
    this.#host.signedIn(this);
    this.#departures.begin();
    // Before everything else [MQTT-3.2.0-1].
    this.#socket.write(connack(admission.present, 0));
    if (admission.present) admission.client.session.resume();
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
    while (!this.#closing && this.#turns.waits(Hold.TURN)) this.#turns.release(Hold.TURN);
    this.burden.brokenOff();
    this.#closing = true;
    this.#leave();
    this.#departures.end();
    this.#host.left(this);
  }

  /** The session goes on without this connection, or ends; the will is published once. */
  #leave(): void {
    if (this.#client === null) return;
    const { session, connect } = this.#client;
    this.#host.sessions.left(session, this);
    if (!this.#willDue) return;
    this.#willDue = false;
    this.#host.will({ clientId: session.clientId, will: connect.will!, burden: this.burden });
  }
}
