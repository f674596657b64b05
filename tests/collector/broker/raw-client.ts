import { connect, type Socket } from 'node:net';

const text = (value: string | Buffer): Buffer => {
  const bytes = Buffer.from(value as string);
  return Buffer.concat([Buffer.of(bytes.length >> 8, bytes.length & 255), bytes]);
};

/** Remaining length, MQTT 3.1.1 section 2.2.3. */
const remaining = (length: number): Buffer => {
  const bytes: number[] = [];
  let left = length;
  do {
    const digit = left % 128;
    left = Math.floor(left / 128);
    bytes.push(left > 0 ? digit | 0x80 : digit);
  } while (left > 0);
  return Buffer.from(bytes);
};

export const packet = (first: number, ...parts: Buffer[]): Buffer => {
  const body = Buffer.concat(parts);
  return Buffer.concat([Buffer.of(first), remaining(body.length), body]);
};

export interface ConnectFields {
  id?: string | Buffer;
  flags?: number;
  level?: number;
  name?: string;
  keepAliveS?: number;
  will?: { topic: string | Buffer; message: string };
  rest?: Buffer;
}

/** A CONNECT packet; by default clean, without will, for client "raw". */
export const connectPacket = (fields: ConnectFields = {}): Buffer =>
  packet(
    0x10,
    text(fields.name ?? 'MQTT'),
    Buffer.of(fields.level ?? 4, fields.flags ?? 2, (fields.keepAliveS ?? 0) >> 8, (fields.keepAliveS ?? 0) & 255),
    text(fields.id ?? 'raw'),
    ...(fields.will ? [text(fields.will.topic), text(fields.will.message)] : []),
    fields.rest ?? Buffer.alloc(0),
  );

export const publishPacket = (topic: string | Buffer, message: string | Buffer, packetId = 1, first = 0x32): Buffer =>
  packet(
    first,
    text(topic),
    (first & 6) === 0 ? Buffer.alloc(0) : Buffer.of(packetId >> 8, packetId & 255),
    Buffer.from(message as string),
  );

export const subscribePacket = (filter: string | Buffer, qos = 1, packetId = 1, first = 0x82): Buffer =>
  packet(first, Buffer.of(packetId >> 8, packetId & 255), text(filter), Buffer.of(qos));

/** A client that sends bytes and gathers bytes, whatever they mean. */
export class RawClient {
  readonly socket: Socket;
  received: Buffer = Buffer.alloc(0);
  ended = false;
  #change: (() => void) | null = null;

  constructor(port: number) {
    this.socket = connect(port, '127.0.0.1');
    this.socket.on('data', (chunk) => {
      this.received = Buffer.concat([this.received, chunk]);
      this.#change?.();
    });
    this.socket.on('error', () => this.socket.destroy());
    this.socket.on('close', () => {
      this.ended = true;
      this.#change?.();
    });
  }

  send(...packets: Buffer[]): void {
    this.socket.write(Buffer.concat(packets));
  }

  /** The first `count` bytes received, once they are there; fewer when the connection ends before. */
  async bytes(count: number): Promise<string> {
    while (this.received.length < count && !this.ended) await new Promise<void>((resolve) => (this.#change = resolve));
    return this.received.subarray(0, count).toString('hex');
  }

  /** All that was received until the other side ended the connection. */
  async untilEnd(): Promise<string> {
    while (!this.ended) await new Promise<void>((resolve) => (this.#change = resolve));
    return this.received.toString('hex');
  }
}

/** What a broker answers to packets on a connection of their own until it ends that. */
export async function answerOf(port: number, ...packets: Buffer[]): Promise<string> {
  const raw = new RawClient(port);
  raw.send(...packets);
  return raw.untilEnd();
}
