import type { Socket } from 'node:net';
import { ClientStream, type StreamPeer } from './client-stream.ts';
import { type ConnectPacket, readConnect } from './connect-packet.ts';
import type { Delivery, DeliveryOrigin } from './delivery.ts';
import type { Gate } from './gate.ts';
import { PacketType, packetFault } from './packet-check.ts';
import { PacketScanner } from './packet-scanner.ts';
import { countPubacks, Pubacks } from './pubacks.ts';

/** Why a connection's socket is not being read; bits of one number. */
const Hold = { SETUP: 1, ORDER: 2, SATURATED: 4, WAITING: 8, READER: 16, STOPPING: 32 } as const;

/** How long an ended connection may take to flush, s. Source: own choice, because a live peer needs far less. */
const LINGER_S = 5;

/**
 * One client's connection. It cuts the bytes into packets and checks them; publishes below the root go straight to
 * the intake and are acknowledged from here, once committed; everything else is passed on to aedes.
 */
export class Connection implements StreamPeer, DeliveryOrigin {
  connect: ConnectPacket | null = null;
  stream: ClientStream | null = null;
  /** Sweeps since the last bytes came. */
  idleSweeps = 0;
  readonly #gate: Gate;
  readonly #socket: Socket;
  readonly #scanner: PacketScanner;
  #hold = 0;
  #ready = false;
  #closing = false;
  #waiting = 0;
  #waitingBytes = 0;
  /** PUBACKs that wait for the intake, and those that aedes owes. */
  #owedAcks = 0;
  #owedElsewhere = 0;
  readonly #acks = new Pubacks();
  #drained: (() => void) | null = null;
  #processing = false;

  constructor(gate: Gate, socket: Socket) {
    this.#gate = gate;
    this.#socket = socket;
    this.#scanner = new PacketScanner(gate.limits.maxPacketBytes);
  }

  start(): void {
    const socket = this.#socket;
    socket.setNoDelay(true);
    socket.setKeepAlive(true, 60_000);
    socket.on('data', (chunk) => this.#received(chunk));
    socket.on('drain', () => this.#flushed());
    socket.on('error', (error) => this.#close(error.message, false));
    socket.on('close', () => this.#closed());
  }

  /** The client's address, for the log. */
  get remote(): string {
    return `${this.#socket.remoteAddress ?? '?'}:${this.#socket.remotePort ?? 0}`;
  }

  /** aedes has accepted the client: packets flow from now on. */
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
    this.#hold |= Hold.STOPPING;
    this.#socket.pause();
  }

  /** Called once a second: ends what has been silent for too long. */
  sweep(): void {
    this.idleSweeps++;
    if (this.#closing) {
      if (this.idleSweeps > LINGER_S) this.#socket.destroy();
      return;
    }
    if (!this.#ready) {
      if (this.idleSweeps > this.#gate.limits.connectTimeoutS) this.#close('no complete CONNECT in time', true);
      return;
    }
    // A socket that we do not read proves nothing about its client.
    if (this.#hold !== 0) this.idleSweeps = 0;
    const keepAliveS = this.connect?.keepAliveS ?? 0;
    // One and a half keep-alives [MQTT-3.1.2-24], and one more sweep because seconds are counted whole.
    if (keepAliveS > 0 && this.idleSweeps > 1.5 * keepAliveS + 1)
      this.#close(`silent for one and a half times its keep-alive of ${keepAliveS} s`, false);
  }

  /** Ends the connection at once; aedes publishes the will. */
  destroy(): void {
    this.#closing = true;
    this.#socket.destroy();
  }

  settled(delivery: Delivery, accepted: boolean): void {
    this.#waiting--;
    this.#waitingBytes -= delivery.payload.length;
    if (delivery.packetId > 0) this.#owedAcks--;
    if (accepted) this.#gate.forward(delivery);
    if (this.#closing) return;
    if (delivery.packetId > 0) this.#acknowledge(delivery.packetId);
    if (this.#hold === 0) return;
    if (this.#owedAcks === 0 && (this.#hold & Hold.ORDER) !== 0) this.#gate.flushSoon(this);
    const { maxWaitingMessages, maxWaitingBytes } = this.#gate.limits;
    if (2 * this.#waiting <= maxWaitingMessages && 2 * this.#waitingBytes <= maxWaitingBytes)
      this.#release(Hold.WAITING);
  }

  /** Writes the PUBACKs that have gathered, then takes up what had to wait for them. */
  flush(): void {
    this.#writeAcks();
    if (this.#owedAcks === 0) this.#release(Hold.ORDER);
  }

  #writeAcks(): void {
    if (this.#acks.count === 0 || this.#closing) return;
    this.#gate.counters.acknowledged += this.#acks.count;
    this.#socket.write(this.#acks.takeBytes());
    this.#checkUnread();
  }

  send(bytes: Buffer, done: () => void): void {
    if (this.#closing) {
      done();
      return;
    }
    const out = this.#ready ? bytes : this.#gate.connack(this, bytes);
    if (this.#socket.write(out)) done();
    else this.#drained = done;
    this.#checkUnread();
    if (this.#owedElsewhere === 0) return;
    this.#owedElsewhere = Math.max(0, this.#owedElsewhere - countPubacks(bytes));
    if (this.#owedElsewhere === 0) this.#release(Hold.ORDER);
  }

  wanted(): void {
    this.#release(Hold.READER);
  }

  finish(): void {
    if (this.#closing) return;
    this.flush();
    this.#closing = true;
    this.idleSweeps = 0;
    this.#socket.destroySoon();
  }

  #received(chunk: Buffer): void {
    this.idleSweeps = 0;
    this.#scanner.push(chunk);
    this.#process();
  }

  #process(): void {
    // Not entered twice: passing a packet on may bring an answer that releases a hold.
    if (this.#processing) return;
    this.#processing = true;
    const scanner = this.#scanner;
    while (this.#hold === 0 && !this.#closing && scanner.next()) this.#packet(scanner);
    this.#processing = false;
    if (this.#closing || scanner.fault === null) return;
    if (scanner.fault.kind === 'length') this.#close('the remaining length is malformed', true);
    else {
      const { maxPacketBytes } = this.#gate.limits;
      this.#close(`a packet of ${scanner.fault.bytes} bytes is longer than the ${maxPacketBytes} that are taken`, true);
    }
  }

  #packet(scanner: PacketScanner): void {
    const type = scanner.buffer[scanner.start]! >> 4;
    if (this.connect === null) {
      if (type === PacketType.CONNECT) this.#connect(scanner);
      else this.#close('the first packet is not CONNECT', true);
      return;
    }
    if (type === PacketType.PUBLISH) {
      this.#publish(scanner);
      return;
    }
    const { buffer, start, body, end } = scanner;
    const fault = packetFault(buffer, start, body, end, this.#gate.limits);
    if (fault === null) this.#passOn(buffer.subarray(start, end));
    else this.#close(fault, true);
  }

  #connect(scanner: PacketScanner): void {
    const { buffer, start, body, end } = scanner;
    const flags = buffer[start]! & 0x0f;
    const verdict =
      flags === 0
        ? readConnect(buffer, start, body, end, this.#gate.limits)
        : ({ ok: false, returnCode: null, fault: 'the reserved flags of CONNECT are set' } as const);
    if (!verdict.ok) {
      if (verdict.returnCode !== null) this.#socket.write(Buffer.of(0x20, 2, 0, verdict.returnCode));
      this.#close(verdict.fault, true);
      return;
    }
    const refusal = this.#gate.admit(verdict.connect);
    if (refusal !== null) {
      this.#socket.write(Buffer.of(0x20, 2, 0, refusal.returnCode));
      this.#close(refusal.fault, true);
      return;
    }
    this.connect = verdict.connect;
    this.#hold |= Hold.SETUP;
    this.#socket.pause();
    // The keep-alive is watched here, where every packet is seen: aedes is told that there is none.
    const packet = Buffer.from(buffer.subarray(start, end));
    packet.writeUInt16BE(0, verdict.connect.keepAliveAt);
    this.stream = new ClientStream(this);
    this.#gate.greet(this, this.stream);
    this.stream.push(packet);
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
    const elsewhere = qos === 2 || (topic.kind === 'foreign' && !topic.name.startsWith('$'));
    // PUBACKs leave in the order of their PUBLISH [MQTT-4.6.0-2]: neither aedes nor the intake may overtake the other.
    if (qos === 1 && (elsewhere ? this.#owedAcks : this.#owedElsewhere) > 0) {
      this.#wait(Hold.ORDER, scanner);
      return;
    }
    if (elsewhere) {
      if (qos === 1) this.#owedElsewhere++;
      this.#writeAcks();
      this.#passOn(buffer.subarray(start, end));
      return;
    }
    if (topic.kind === 'foreign') {
      this.#discard(packetId);
      return;
    }
    const { maxWaitingMessages, maxWaitingBytes } = gate.limits;
    if (gate.sink.saturated) this.#wait(Hold.SATURATED, scanner);
    else if (this.#waiting >= maxWaitingMessages || this.#waitingBytes >= maxWaitingBytes)
      this.#wait(Hold.WAITING, scanner);
    else {
      const payload = buffer.subarray(head.payloadStart, end);
      this.#waiting++;
      this.#waitingBytes += payload.length;
      if (packetId > 0) this.#owedAcks++;
      gate.sink.take({ topic, payload, clientId: this.connect!.clientId, origin: this, packetId });
    }
  }

  /** Topics that start with `$` belong to the broker: the message is acknowledged and goes nowhere. */
  #discard(packetId: number): void {
    this.#gate.counters.discarded++;
    if (packetId > 0) this.#acknowledge(packetId);
  }

  #acknowledge(packetId: number): void {
    if (this.#acks.count === 0) this.#gate.flushSoon(this);
    this.#acks.add(packetId);
  }

  #passOn(packet: Buffer): void {
    if (this.stream!.push(packet)) return;
    this.#hold |= Hold.READER;
    this.#socket.pause();
  }

  #wait(reason: number, scanner: PacketScanner): void {
    scanner.unread();
    this.#hold |= reason;
    this.#socket.pause();
  }

  #release(reason: number): void {
    if ((this.#hold & reason) === 0) return;
    this.#hold &= ~reason;
    if (this.#hold !== 0 || this.#closing) return;
    this.#process();
    if (this.#hold === 0 && !this.#closing) this.#socket.resume();
  }

  #flushed(): void {
    const done = this.#drained;
    this.#drained = null;
    done?.();
  }

  #checkUnread(): void {
    const unread = this.#socket.writableLength + (this.stream?.writableLength ?? 0);
    if (unread > this.#gate.limits.maxUnreadBytes) {
      this.#close(`${unread} bytes wait for it and it does not read them`, true);
      this.#socket.destroy();
    }
  }

  #close(why: string, ours: boolean): void {
    if (this.#closing) return;
    this.#gate.closing(this, why, ours);
    this.#closing = true;
    this.idleSweeps = 0;
    this.#socket.destroySoon();
  }

  #closed(): void {
    this.#closing = true;
    this.#flushed();
    this.stream?.destroy();
    this.#gate.left(this);
  }
}
