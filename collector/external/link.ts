import type { Duplex } from 'node:stream';
import {
  generate,
  type IConnackPacket,
  type IConnectPacket,
  type IPublishPacket,
  type Packet,
  parser,
} from 'mqtt-packet';
import { AckOrder } from './ack-order.ts';
import { faultWords } from './fault-words.ts';

export type Version = 4 | 5;

/** A connection's socket: TCP, TLS, or a test's. */
export type LinkSocket = Duplex & { setTimeout?: (ms: number) => unknown };

export interface LinkEvents {
  /** The broker has let us in. */
  readonly open: (connack: IConnackPacket) => void;
  readonly publish: (packet: IPublishPacket, settled: () => void) => void;
  /** Our own QoS 1 message has been acknowledged; codes of 128 and more refuse it. */
  readonly acknowledged: (messageId: number, code: number) => void;
  readonly subscribed: (messageId: number, codes: readonly number[]) => void;
  /** Bytes came in and have been dealt with: time to look whether there is room for more. */
  readonly read: () => void;
  /** The connection has ended; `refusal` is the code of a CONNACK that said no. */
  readonly close: (why: string, refusal: number | null) => void;
}

/** Codes of "this version is not spoken here": MQTT 3.1.1 table 3.1 and MQTT 5 table 3-1. */
const UNACCEPTABLE_VERSION: ReadonlySet<number> = new Set([1, 0x84]);

/** Whether a refusal means that the broker does not speak our version of MQTT. */
export const isVersionRefusal = (code: number | null): boolean => code !== null && UNACCEPTABLE_VERSION.has(code);

/**
 * One connection to a broker, from CONNECT to its end. Messages are handed out as they come, and each is acknowledged when
 * its `settled` is called: any number may wait, so that they can share a commit.
 */
export class Link {
  readonly version: Version;
  readonly #socket: LinkSocket;
  readonly #events: LinkEvents;
  readonly #acks = new AckOrder();
  #flushing = false;
  #open = false;
  #ended = false;
  /** Monotonic times of the last bytes out and in, ms. */
  #sentAt = 0;
  #heardAt = 0;
  #paused = false;

  constructor(socket: LinkSocket, version: Version, events: LinkEvents) {
    this.version = version;
    this.#socket = socket;
    this.#events = events;
  }

  get open(): boolean {
    return this.#open && !this.#ended;
  }

  /** Messages that wait for their commit. */
  get waiting(): number {
    return this.#acks.waiting;
  }

  start(connect: IConnectPacket, nowMs: number): void {
    const incoming = parser({ protocolVersion: this.version });
    incoming.on('packet', (packet) => this.#packet(packet));
    incoming.on('error', (error: Error) => this.end(`it sent what is no MQTT (${error.message})`));
    this.#socket.on('data', (chunk: Buffer) => {
      this.#heardAt = Number.NaN;
      if (!this.#ended) incoming.parse(chunk);
      if (!this.#ended) this.#events.read();
    });
    this.#socket.on('error', (error: NodeJS.ErrnoException) => this.end(faultWords(error)));
    this.#socket.on('close', () => this.end('it closed the connection'));
    this.#heardAt = nowMs;
    this.send(connect, nowMs);
  }

  send(packet: Packet, nowMs: number): void {
    if (this.#ended) return;
    this.#sentAt = nowMs;
    this.#socket.write(generate(packet, { protocolVersion: this.version }));
  }

  /** Takes nothing more in for now. */
  pause(): void {
    this.#paused = true;
    this.#socket.pause();
  }

  resume(): void {
    if (!this.#paused) return;
    this.#paused = false;
    this.#socket.resume();
  }

  /** Called every second or so: asks the broker whether it lives, and ends a connection that is dead. */
  watch(nowMs: number, keepAliveMs: number): void {
    // Bytes that came since the last look: the time of this look is near enough. What is not read proves nothing.
    if (Number.isNaN(this.#heardAt) || this.#paused) this.#heardAt = nowMs;
    if (nowMs - this.#heardAt > 1.5 * keepAliveMs) this.end('it has been silent for too long');
    else if (this.#open && (nowMs - this.#sentAt > keepAliveMs / 2 || nowMs - this.#heardAt > keepAliveMs / 2))
      this.send({ cmd: 'pingreq' }, nowMs);
  }

  /** Says good-bye, so that no will is published, and ends. */
  finish(): void {
    if (this.#ended) return;
    this.#flush();
    this.#socket.end(generate({ cmd: 'disconnect', reasonCode: 0 }, { protocolVersion: this.version }));
    this.#over('it was ended from here', null);
  }

  end(why: string, refusal: number | null = null): void {
    if (this.#ended) return;
    this.#socket.destroy();
    this.#over(why, refusal);
  }

  #over(why: string, refusal: number | null): void {
    this.#ended = true;
    this.#events.close(why, refusal);
  }

  #packet(packet: Packet): void {
    if (this.#ended) return;
    if (!this.#open) {
      if (packet.cmd === 'connack') this.#connack(packet);
      else this.end(`it answered CONNECT with ${packet.cmd}`);
    } else if (packet.cmd === 'publish') this.#publish(packet);
    else if (packet.cmd === 'puback') this.#events.acknowledged(packet.messageId ?? 0, packet.reasonCode ?? 0);
    else if (packet.cmd === 'suback') this.#events.subscribed(packet.messageId ?? 0, packet.granted as number[]);
    else if (packet.cmd === 'disconnect') this.end(`it disconnected us with reason ${packet.reasonCode ?? 0}`);
  }

  #connack(packet: IConnackPacket): void {
    // A broker of the older version answers in the older form, which has only a return code.
    const code = packet.reasonCode ?? packet.returnCode ?? 0;
    if (code !== 0) {
      this.end(`it refused the connection: ${refusalWords(code)}`, code);
      return;
    }
    this.#open = true;
    this.#events.open(packet);
  }

  #publish(packet: IPublishPacket): void {
    // Nothing is subscribed to with QoS 2, so its four-way handshake cannot be asked for.
    if (packet.qos === 2) this.end('it sent QoS 2, which was not subscribed to');
    else if (packet.qos === 0) this.#events.publish(packet, () => undefined);
    else {
      const settle = this.#acks.owe(packet.messageId ?? 0);
      this.#events.publish(packet, () => {
        settle();
        this.#flushSoon();
      });
    }
  }

  /** All that one commit settles leaves in one write. */
  #flushSoon(): void {
    if (this.#flushing) return;
    this.#flushing = true;
    queueMicrotask(() => {
      this.#flushing = false;
      this.#flush();
    });
  }

  #flush(): void {
    if (this.#ended) return;
    const bytes = this.#acks.takeBytes();
    if (bytes.length > 0) this.#socket.write(bytes);
  }
}

const REFUSALS: Readonly<Record<number, string>> = {
  1: 'it does not speak this version of MQTT',
  2: 'it does not like the client id',
  3: 'it is not available',
  4: 'user name or password are wrong',
  5: 'not authorised',
  132: 'it does not speak this version of MQTT',
  133: 'it does not like the client id',
  134: 'user name or password are wrong',
  135: 'not authorised',
  136: 'it is not available',
  137: 'it is busy',
  138: 'we are banned',
};

function refusalWords(code: number): string {
  return `${REFUSALS[code] ?? 'for a reason of its own'} (code ${code})`;
}
