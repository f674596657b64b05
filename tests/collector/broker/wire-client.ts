import { connect, type Socket } from 'node:net';
import { PacketScanner } from '../../../collector/broker/packet-scanner.ts';
import { type ConnectFields, connectPacket, packet } from './raw-client.ts';

const NAMES = [
  '',
  '',
  'CONNACK',
  'PUBLISH',
  'PUBACK',
  'PUBREC',
  'PUBREL',
  'PUBCOMP',
  '',
  'SUBACK',
  '',
  'UNSUBACK',
  '',
  'PINGRESP',
];

/** A server's packet in words: `PUBLISH a/b=x q1 #1 dup retained`, `SUBACK #1 0 128`, `CONNACK 0 present`. */
export function packetText(buffer: Buffer, start: number, body: number, end: number): string {
  const first = buffer[start]!;
  const name = NAMES[first >> 4] ?? String(first >> 4);
  if (name === 'CONNACK') return `CONNACK ${buffer[body + 1]}${buffer[body] === 1 ? ' present' : ''}`;
  if (name === 'PINGRESP') return name;
  if (name !== 'PUBLISH') {
    const codes = name === 'SUBACK' ? [...buffer.subarray(body + 2, end)].map((code) => ` ${code}`).join('') : '';
    return `${name} #${buffer.readUInt16BE(body)}${codes}`;
  }
  const topicEnd = body + 2 + buffer.readUInt16BE(body);
  const qos = (first >> 1) & 3;
  const payloadStart = qos > 0 ? topicEnd + 2 : topicEnd;
  const id = qos > 0 ? ` #${buffer.readUInt16BE(topicEnd)}` : '';
  const flags = `${(first & 8) !== 0 ? ' dup' : ''}${(first & 1) !== 0 ? ' retained' : ''}`;
  const topic = buffer.toString('utf8', body + 2, topicEnd);
  return `PUBLISH ${topic}=${buffer.toString('utf8', payloadStart, end)} q${qos}${id}${flags}`;
}

/** A client that sends packets and reads the answers as words, one after the other. */
export class WireClient {
  readonly socket: Socket;
  readonly #scanner = new PacketScanner(1 << 24);
  readonly #packets: string[] = [];
  #closed = false;
  #change: () => void = () => undefined;

  constructor(port: number) {
    this.socket = connect(port, '127.0.0.1');
    this.socket.on('data', (chunk) => {
      this.#scanner.push(chunk);
      while (this.#scanner.next()) {
        const { buffer, start, body, end } = this.#scanner;
        this.#packets.push(packetText(buffer, start, body, end));
      }
      this.#change();
    });
    this.socket.on('error', () => this.socket.destroy());
    this.socket.on('close', () => {
      this.#closed = true;
      this.#change();
    });
  }

  send(...packets: Buffer[]): this {
    this.socket.write(Buffer.concat(packets));
    return this;
  }

  /** The next `count` packets; `closed` where the connection ends before. */
  async take(count: number): Promise<string[]> {
    while (this.#packets.length < count && !this.#closed)
      await new Promise<void>((resolve) => (this.#change = resolve));
    const taken = this.#packets.splice(0, count);
    return taken.length < count ? [...taken, 'closed'] : taken;
  }

  /** All packets up to the answer to a ping that is sent now. */
  async untilPong(): Promise<string[]> {
    this.send(packet(0xc0));
    const taken: string[] = [];
    for (;;) {
      const [one] = await this.take(1);
      if (one === 'PINGRESP') return taken;
      taken.push(one!);
      if (one === 'closed') return taken;
    }
  }

  /** Ends the connection as a broken network does. */
  async cut(): Promise<void> {
    if (this.#closed) return;
    this.socket.destroy();
    while (!this.#closed) await new Promise<void>((resolve) => (this.#change = resolve));
  }

  /** DISCONNECT, and waits for the end. */
  async leave(): Promise<void> {
    this.send(packet(0xe0));
    while (!this.#closed) await new Promise<void>((resolve) => (this.#change = resolve));
  }
}

/** A client that is connected, with the words of its CONNACK. */
export async function joined(
  port: number,
  fields: ConnectFields = {},
): Promise<{ client: WireClient; connack: string }> {
  const client = new WireClient(port).send(connectPacket(fields));
  const [connack] = await client.take(1);
  return { client, connack: connack! };
}

/** PUBACK, PUBREC, PUBREL or PUBCOMP. */
export const answerPacket = (type: number, packetId: number): Buffer =>
  packet((type << 4) | (type === 6 ? 2 : 0), Buffer.of(packetId >> 8, packetId & 255));

/** SUBSCRIBE with several filters, or with QoS `null` UNSUBSCRIBE. */
export function filtersPacket(
  filters: readonly (readonly [filter: string, qos: number | null])[],
  packetId = 1,
): Buffer {
  const parts = filters.map(([filter, qos]) => {
    const bytes = Buffer.from(filter);
    return Buffer.concat([
      Buffer.of(bytes.length >> 8, bytes.length & 255),
      bytes,
      Buffer.from(qos === null ? [] : [qos]),
    ]);
  });
  const first = filters[0]?.[1] === null ? 0xa2 : 0x82;
  return packet(first, Buffer.of(packetId >> 8, packetId & 255), ...parts);
}
