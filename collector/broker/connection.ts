import type { Socket } from 'node:net';
import { ClientStream, type StreamPeer } from './client-stream.ts';
import { type ConnectPacket, readConnect } from './connect-packet.ts';
import type { ConnectionHost } from './connection-host.ts';
import type { Delivery, DeliveryOrigin } from './delivery.ts';
import { Owed } from './owed.ts';
import { PacketType, packetFault } from './packet-check.ts';
import { PacketScanner } from './packet-scanner.ts';
import { Pubacks } from './pubacks.ts';
import { publishRoute } from './publish-route.ts';
import { Hold, ReadingHold } from './reading-hold.ts';
import { Silence } from './silence.ts';

/**
 * One client's connection. It cuts the bytes into packets and checks them; publishes below the root go straight to
 * the intake and are acknowledged from here, once committed; everything else is passed on to aedes.
 */
export class Connection implements StreamPeer, DeliveryOrigin {
  connect: ConnectPacket | null = null;
  stream: ClientStream | null = null;
  readonly #gate: ConnectionHost;
  readonly #socket: Socket;
  readonly #scanner: PacketScanner;
  readonly #hold: ReadingHold;
  readonly #owed: Owed;
  readonly #acks = new Pubacks();
  readonly #silence = new Silence();
  #ready = false;
  #closing = false;
  #processing = false;

  constructor(gate: ConnectionHost, socket: Socket) {
    this.#gate = gate;
    this.#socket = socket;
    this.#scanner = new PacketScanner(gate.limits.maxPacketBytes);
    this.#hold = new ReadingHold(socket);
    this.#owed = new Owed(gate.limits);
  }

  start(): void {
    const socket = this.#socket;
    socket.on('data', (chunk) => this.#received(chunk));
    socket.on('error', (error) => this.#close(error.message, false));
    socket.on('close', () => this.#closed());
  }

  /** The client's address, for the log. */
  get remote(): string {
    return `${this.#socket.remoteAddress ?? '?'}:${this.#socket.remotePort ?? 0}`;
  }

  /** aedes has let the client in: packets flow from now on. */
  ready(): void {
    this.#ready = true;
    this.#release(Hold.SETUP);
  }

  /** The intake has room again. */
  resume(): void {
    this.#release(Hold.SATURATED);
  }

  /** Reads no more; what has been read is still acknowledged. */
  stopReading(): void {
    this.#hold.add(Hold.STOPPING);
  }

  /** Called once a second: ends what has been silent for too long. */
  sweep(): void {
    // A socket that we do not read proves nothing about its client.
    if (this.#ready && !this.#closing && this.#hold.held) this.#silence.heard();
    const phase = this.#closing ? 'ended' : this.#ready ? 'connected' : 'connecting';
    const why = this.#silence.sweep(phase, this.connect?.keepAliveS ?? 0, this.#gate.limits.connectTimeoutS);
    if (why === null) return;
    if (phase === 'ended') this.#socket.destroy();
    else this.#close(why, phase === 'connecting');
  }

  /** Ends the connection at once; aedes publishes the will. */
  destroy(): void {
    this.#closing = true;
    this.#socket.destroy();
  }

  settled(delivery: Delivery, accepted: boolean): void {
    this.#owed.settled(delivery);
    if (accepted) this.#gate.forward(delivery);
    if (this.#closing) return;
    if (delivery.packetId > 0) this.#acknowledge(delivery.packetId);
    if (this.#hold.has(Hold.WAITING) && this.#owed.low) this.#release(Hold.WAITING);
  }

  /** Writes the PUBACKs that have gathered, then takes up what had to wait for them. */
  flush(): void {
    this.#writeAcks();
    if (this.#owed.byIntake === 0) this.#release(Hold.ORDER);
  }

  send(bytes: Buffer, done: () => void): void {
    if (this.#closing) {
      done();
      return;
    }
    const out = this.#ready ? bytes : this.#gate.connack(this, bytes);
    if (this.#socket.write(out)) done();
    else this.#socket.once('drain', done);
    this.#checkUnread();
    if (this.#owed.sentByAedes(bytes)) this.#release(Hold.ORDER);
  }

  wanted(): void {
    this.#release(Hold.READER);
  }

  finish(): void {
    if (this.#closing) return;
    this.#writeAcks();
    this.#end();
  }

  #received(chunk: Buffer): void {
    this.#silence.heard();
    this.#scanner.push(chunk);
    this.#process();
  }

  #process(): void {
    // Not entered twice: passing a packet on may bring an answer that releases a hold.
    if (this.#processing) return;
    this.#processing = true;
    const scanner = this.#scanner;
    while (!this.#hold.held && !this.#closing && scanner.next()) this.#packet(scanner);
    this.#processing = false;
    if (!this.#closing && scanner.fault !== null) this.#close(scanner.fault, true);
  }

  #packet(scanner: PacketScanner): void {
    const { buffer, start, body, end } = scanner;
    const type = buffer[start]! >> 4;
    if (this.connect === null) {
      if (type === PacketType.CONNECT) this.#connect(scanner);
      else this.#close('the first packet is not CONNECT', true);
    } else if (type === PacketType.PUBLISH) this.#publish(scanner);
    else {
      const fault = packetFault(buffer, start, body, end, this.#gate.limits);
      if (fault === null) this.#passOn(buffer.subarray(start, end));
      else this.#close(fault, true);
    }
  }

  #connect(scanner: PacketScanner): void {
    const { buffer, start, body, end } = scanner;
    const verdict = readConnect(buffer, start, body, end, this.#gate.limits);
    const refusal = verdict.ok ? this.#gate.refusal(verdict.connect) : verdict;
    if (refusal !== null) {
      if (refusal.returnCode !== null) this.#socket.write(Buffer.of(0x20, 2, 0, refusal.returnCode));
      this.#close(refusal.fault, true);
    } else if (verdict.ok) {
      this.connect = verdict.connect;
      this.#hold.add(Hold.SETUP);
      // The keep-alive is watched here, where every packet is seen: aedes is told that there is none.
      const packet = Buffer.from(buffer.subarray(start, end));
      packet.writeUInt16BE(0, verdict.connect.keepAliveAt);
      this.stream = new ClientStream(this);
      this.#gate.greet(this, this.stream);
      this.stream.push(packet);
    }
  }

  #publish(scanner: PacketScanner): void {
    const gate = this.#gate;
    const head = gate.publishHead;
    const { buffer, start, body, end } = scanner;
    if (!head.read(buffer, start, body, end, gate.knownTopic)) {
      this.#close(packetFault(buffer, start, body, end, gate.limits) ?? 'the PUBLISH cannot be read', true);
      return;
    }
    const { topic, qos, packetId } = head;
    const route = publishRoute(head, this.#owed, gate.sink.saturated);
    if (route === 'intake') {
      const payload = buffer.subarray(head.payloadStart, end);
      const delivery = { topic, payload, clientId: this.connect!.clientId, origin: this, packetId };
      this.#owed.taken(delivery);
      gate.sink.take(delivery);
    } else if (route === 'aedes') {
      if (qos === 1) this.#owed.passedOn();
      this.#writeAcks();
      this.#passOn(buffer.subarray(start, end));
    } else if (route === 'nowhere') {
      gate.counters.discarded++;
      if (packetId > 0) this.#acknowledge(packetId);
    } else {
      scanner.unread();
      this.#hold.add(route);
    }
  }

  #acknowledge(packetId: number): void {
    if (this.#acks.count === 0) this.#gate.flushSoon(this);
    this.#acks.add(packetId);
  }

  #writeAcks(): void {
    if (this.#acks.count === 0 || this.#closing) return;
    this.#gate.counters.acknowledged += this.#acks.count;
    this.#socket.write(this.#acks.takeBytes());
    this.#checkUnread();
  }

  #passOn(packet: Buffer): void {
    if (!this.stream!.push(packet)) this.#hold.add(Hold.READER);
  }

  #release(reason: number): void {
    if (!this.#hold.remove(reason) || this.#closing) return;
    this.#process();
    if (!this.#closing) this.#hold.resume();
  }

  #checkUnread(): void {
    const unread = this.#socket.writableLength + (this.stream?.writableLength ?? 0);
    if (unread <= this.#gate.limits.maxUnreadBytes) return;
    this.#close(`${unread} bytes wait for it and it does not read them`, true);
    this.#socket.destroy();
  }

  #close(why: string, faulted: boolean): void {
    if (this.#closing) return;
    this.#gate.closing(this, why, faulted);
    this.#end();
  }

  #end(): void {
    this.#closing = true;
    this.#silence.heard();
    this.#socket.destroySoon();
  }

  #closed(): void {
    this.#closing = true;
    this.stream?.destroy();
    this.#gate.left(this);
  }
}
