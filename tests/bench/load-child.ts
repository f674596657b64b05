import { connect, type Socket } from 'node:net';
import { exit } from 'node:process';
import { LoadPackets } from './load-packets.ts';

// Load in a process of its own, told by its only argument; answers with one JSON line. Sends to this machine only.

export interface Load {
  readonly port: number;
  readonly connections: number;
  readonly guns: number;
  /** Number of the first gun; default 0. */
  readonly firstGun?: number;
  /** Unacknowledged messages that a connection may have under way. */
  readonly window: number;
  readonly messages: number;
  /** Messages a second over all connections; 0: as fast as they are acknowledged. */
  readonly rate: number;
  /** Reading time of the first message of each gun, epoch ms. */
  readonly startMs: number;
}

export interface LoadResult {
  readonly perSecond: number;
  /** Milliseconds from publish to acknowledgement. */
  readonly p50: number;
  readonly p99: number;
  readonly cpuSeconds: number;
  /** Of every message, ascending; of loads with a rate alone, which send few. */
  readonly latencies: readonly number[];
}

const load = JSON.parse(process.argv[2]!) as Load;
const latencies = new Float32Array(load.messages);
let [acknowledged, started, due, sent] = [0, 0, 0, 0];

/** One connection with its guns; a gun's messages stay in order. */
class Publisher {
  readonly #packets: LoadPackets;
  readonly #total: number;
  #socket: Socket | null = null;
  #next = 0;
  #acked = 0;
  #rest: Buffer = Buffer.alloc(0);
  readonly #sentAt: Float64Array;

  constructor(index: number) {
    const guns: number[] = [];
    for (let gun = index; gun < load.guns; gun += load.connections) guns.push((load.firstGun ?? 0) + gun);
    this.#packets = new LoadPackets(guns, load.startMs);
    this.#total = Math.floor(load.messages / load.connections) + (index < load.messages % load.connections ? 1 : 0);
    this.#sentAt = new Float64Array(load.window);
  }

  open(id: string): Promise<void> {
    return new Promise((resolve, reject) => {
      const socket = connect({ port: load.port, host: '127.0.0.1', noDelay: true });
      this.#socket = socket;
      socket.on('connect', () => socket.write(this.#packets.connect(id)));
      socket.on('error', reject);
      socket.once('data', (bytes) => {
        if (bytes.length !== 4 || bytes[0] !== 0x20 || bytes[3] !== 0) reject(new Error('not let in'));
        socket.on('data', (more) => this.#received(more));
        resolve();
      });
      socket.on('close', () => {
        if (acknowledged < load.messages) fail('a connection was closed');
      });
    });
  }

  /** Sends what the window, and with a rate the clock, allow. */
  fill(): void {
    const room = Math.min(load.window - (this.#next - this.#acked), this.#total - this.#next);
    const count = load.rate > 0 ? Math.min(room, Math.max(0, due - sent), 1) : room;
    if (count <= 0) return;
    const now = performance.now();
    for (let i = 0; i < count; i++) this.#sentAt[(this.#next + i) % load.window] = now;
    this.#socket!.write(this.#packets.publishes(this.#next, count));
    this.#next += count;
    sent += count;
  }

  close(): void {
    this.#socket?.destroy();
  }

  #received(bytes: Buffer): void {
    const all = this.#rest.length > 0 ? Buffer.concat([this.#rest, bytes]) : bytes;
    const now = performance.now();
    let at = 0;
    for (; at + 4 <= all.length; at += 4) {
      // Acknowledgements come in the order of the messages [MQTT-4.6.0-2].
      const id = (all[at + 2]! << 8) | all[at + 3]!;
      if (all[at] !== 0x40 || id !== LoadPackets.idOf(this.#acked))
        fail(`unexpected packet ${all.toString('hex', at, at + 4)}`);
      latencies[acknowledged++] = now - this.#sentAt[this.#acked++ % load.window]!;
    }
    this.#rest = all.subarray(at);
    if (acknowledged >= load.messages) finish();
    else if (load.rate === 0) this.fill();
  }
}

function fail(why: string): never {
  process.stderr.write(`${why}\n`);
  exit(1);
}

function finish(): void {
  const seconds = (performance.now() - started) / 1e3;
  const { user, system } = process.cpuUsage();
  const sorted = latencies.sort();
  const result: LoadResult = {
    perSecond: load.messages / seconds,
    p50: sorted[load.messages >> 1]!,
    p99: sorted[Math.floor(load.messages * 0.99)]!,
    cpuSeconds: (user + system) / 1e6,
    latencies: load.rate > 0 ? Array.from(sorted, (latency) => Math.round(100 * latency) / 100) : [],
  };
  process.stdout.write(`${JSON.stringify(result)}\n`, () => exit(0));
}

const publishers = Array.from({ length: load.connections }, (_, index) => new Publisher(index));
for (let from = 0; from < publishers.length; from += 50)
  await Promise.all(
    publishers.slice(from, from + 50).map((one, index) => one.open(`load-${process.pid}-${from + index}`)),
  );
started = performance.now();
for (const publisher of load.rate > 0 ? [] : publishers) publisher.fill();
if (load.rate > 0) {
  let turn = 0;
  setInterval(() => {
    due = Math.min(load.messages, Math.floor(((performance.now() - started) / 1e3) * load.rate));
    for (let tried = 0; sent < due && tried < publishers.length; tried++)
      publishers[turn++ % publishers.length]!.fill();
  }, 5);
}
