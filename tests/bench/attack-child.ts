import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import type { Attack } from './attack-kinds.ts';

// One kind of attack on a broker of this machine, told by its first argument, until its standard input ends; answers with how often it did what it does.

const kind = process.argv[2] as Attack;
const port = Number(process.argv[3]);
let going = true;
let count = 0;
process.stdin
  .on('end', () => {
    going = false;
    setTimeout(() => process.stdout.write(`${count}\n`, () => process.exit(0)), 300);
  })
  .resume();

const text = (value: string): Buffer => {
  const bytes = Buffer.from(value);
  return Buffer.concat([Buffer.of(bytes.length >> 8, bytes.length & 255), bytes]);
};
const packet = (first: number, ...parts: Buffer[]): Buffer => {
  const body = Buffer.concat(parts);
  const length: number[] = [];
  let left = body.length;
  do {
    const digit = left % 128;
    left = Math.floor(left / 128);
    length.push(left > 0 ? digit | 128 : digit);
  } while (left > 0);
  return Buffer.concat([Buffer.of(first), Buffer.from(length), body]);
};
let ids = 0;
const connectPacket = (will?: [string, Buffer]): Buffer =>
  packet(
    0x10,
    text('MQTT'),
    Buffer.of(4, will ? 6 : 2, 0, 0),
    text(`attack-${process.pid}-${ids++}`),
    ...(will ? [text(will[0]), Buffer.of(will[1].length >> 8, will[1].length & 255), will[1]] : []),
  );
const publish = (topic: string, payload: Buffer, id: number, first = 0x32): Buffer =>
  packet(first, text(topic), (first & 6) === 0 ? Buffer.alloc(0) : Buffer.of(id >> 8, id & 255), payload);
const subscribe = (filters: string[], qos = 0): Buffer =>
  packet(0x82, Buffer.of(0, 1), ...filters.flatMap((filter) => [text(filter), Buffer.of(qos)]));
const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

async function open(): Promise<Socket> {
  const socket = connect({ port, host: '127.0.0.1', noDelay: true });
  socket.on('error', () => undefined);
  await Promise.race([once(socket, 'connect'), once(socket, 'close')]);
  return socket;
}
async function joined(will?: [string, Buffer]): Promise<Socket> {
  const socket = await open();
  socket.write(connectPacket(will));
  await Promise.race([once(socket, 'data'), once(socket, 'close')]);
  return socket;
}
/** Sends packets with at most `window` not acknowledged. */
async function stream(make: (n: number, id: number) => Buffer, window: number): Promise<void> {
  const socket = await joined();
  let [sent, acked] = [0, 0];
  let wake: () => void = () => undefined;
  socket.on('data', (bytes: Buffer) => {
    acked += bytes.length / 4;
    wake();
  });
  socket.on('close', () => wake());
  while (going && !socket.destroyed) {
    if (sent - acked >= window) {
      await new Promise<void>((resolve) => (wake = resolve));
      continue;
    }
    const batch: Buffer[] = [];
    while (sent - acked < window && batch.length < 100) batch.push(make(sent, (sent++ % 65_535) + 1));
    if (!socket.write(Buffer.concat(batch))) await Promise.race([once(socket, 'drain'), once(socket, 'close')]);
    count += batch.length;
  }
  socket.destroy();
}
const loops = (number: number, body: () => Promise<void>): Promise<unknown> =>
  Promise.all(
    Array.from({ length: number }, async () => {
      while (going) await body();
    }),
  );

const rubbish = Buffer.from(`[${'[1],'.repeat(2_000_000)}1]`);
const KINDS: Record<Attack, () => Promise<unknown>> = {
  'rubbish-new-topics': () => stream((n, id) => publish(`airlines/hall-1/gun-x${n}`, rubbish, id), 1),
  'rubbish-new-clients': () =>
    loops(1, async () => {
      const socket = await joined();
      if (!socket.destroyed) {
        socket.write(publish('airlines/hall-1/gun-0020', rubbish, 1));
        await Promise.race([once(socket, 'data'), once(socket, 'close')]);
        count++;
      }
      socket.destroy();
    }),
  'tiny-refused': () => stream((_, id) => publish('airlines/hall-1/gun-0020', Buffer.from('x'), id), 1000),
  'tiny-unknown-topics': () => stream((n, id) => publish(`airlines/a/b/c/${n % 7}`, Buffer.from('x'), id), 1000),
  'tiny-refused-50-clients': () =>
    Promise.all(
      Array.from({ length: 50 }, () => stream((n, id) => publish(`airlines/hall-1/y${n}`, Buffer.from('x'), id), 100)),
    ),
  foreign: () => stream((n, id) => publish(`elsewhere/${n % 100}`, Buffer.alloc(100), id), 1000),
  'retained-flood': () => stream((n, id) => publish(`kept/${n}`, Buffer.alloc(100), id, 0x33), 1000),
  connects: () =>
    loops(100, async () => {
      const socket = await joined();
      socket.destroy();
      count++;
    }),
  'connects-with-wills': () =>
    loops(100, async () => {
      const socket = await joined([`airlines/hall-1/gun-0020`, Buffer.alloc(60_000, 'x')]);
      socket.destroy();
      count++;
    }),
  'half-open': () =>
    loops(500, async () => {
      const socket = await open();
      socket.write(Buffer.of(0x10));
      count++;
      await pause(1000 * Math.random());
      socket.destroy();
    }),
  oversized: () =>
    loops(20, async () => {
      const socket = await joined();
      socket.write(Buffer.of(0x32, 0xff, 0xff, 0xff, 0x7f));
      await once(socket, 'close');
      count++;
    }),
  'bad-connects': () =>
    loops(50, async () => {
      const socket = await open();
      socket.write(Buffer.of(0x10, 4, 0, 2, 65, 66));
      await Promise.race([once(socket, 'close'), pause(1000)]);
      socket.destroy();
      count++;
    }),
  subscribes: async () => {
    await Promise.race([stream((n, id) => publish(`kept/${n % 9000}`, Buffer.alloc(20), id, 0x33), 1000), pause(1500)]);
    const filters = Array.from({ length: 200 }, (_, n) => (n % 2 ? '#' : '+/#'));
    await loops(1, async () => {
      const socket = await joined();
      socket.on('data', () => undefined);
      while (going && !socket.destroyed) {
        const more = socket.write(Buffer.concat(Array.from({ length: 10 }, () => subscribe(filters))));
        count += 10;
        if (!more) await Promise.race([once(socket, 'drain'), once(socket, 'close'), pause(200)]);
        else await pause(1);
      }
    });
  },
  'slow-readers': async () => {
    for (let n = 0; n < 100; n++) {
      const socket = await joined();
      socket.pause();
      socket.write(subscribe(['#']));
    }
    await stream((n, id) => publish(`big/${n % 10}`, Buffer.alloc(200_000), id, 0x32), 20);
  },
  'partial-packets': async () => {
    const head = Buffer.concat([
      Buffer.of(0x30),
      Buffer.from([0x80, 0x80, 0xff, 0x03]),
      text('airlines/hall-1/gun-0020'),
    ]);
    for (let n = 0; n < 400 && going; n++) {
      const socket = await joined();
      socket.write(head);
      socket.write(Buffer.alloc(1_200_000));
      count++;
      await pause(5);
    }
    while (going) await pause(100);
  },
};
await KINDS[kind]();
