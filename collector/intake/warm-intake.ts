import { setImmediate } from 'node:timers/promises';
import mqttPacket from 'mqtt-packet';
import { openAccess } from '../broker/access.ts';
import { Gate } from '../broker/gate.ts';
import { LoopSocket } from '../broker/loop-socket.ts';
import type { OperationConfig } from '../config.ts';
import { Plant } from '../contract/plant.ts';
import { senmlDecoder } from '../decode/senml.ts';
import { silentLog } from '../log.ts';
import { UnkeptWriter } from '../store/unkept-writer.ts';
import { Intake } from './intake.ts';
import { SiteClocks } from './site-clocks.ts';

/** Packs of the warm-up. Source: own choice: measured, with half as many the first second is slower, with twice as many no faster. */
const PACKS = 6_000;
const PACKS_A_TURN = 48;
/** What it may take, ms: a weak machine starts without the rest. Source: own choice. */
const MOST_MS = 400;
const STATIONS = 16;
const SITE = 'warm-up';

export interface WarmIntakeOptions {
  readonly limits: OperationConfig['broker'];
  /** Wall clock, epoch ms, and a monotonic one, ms. */
  readonly now: () => number;
  readonly clock: () => number;
}

/**
 * Sends invented packs from a connection that is none to a store that keeps nothing, over the very way that readings take, so that V8 has
 * compiled it before the first sensor connects: without, the first seconds are slower by a third. Nothing of it is counted, logged or kept.
 *
 * @returns packs that were acknowledged
 */
export async function warmIntake({ limits, now, clock }: WarmIntakeOptions): Promise<number> {
  const began = clock();
  const guns = Array.from({ length: STATIONS }, (_, number) => ({ id: `gun-${number}` }));
  const plant = Plant.parse({ site: { id: SITE, timezone: 'UTC' }, guns });
  const intake = new Intake({
    rules: {
      site: SITE,
      stations: new Set(guns.map(({ id }) => id)),
      decode: senmlDecoder(plant),
      translator: null,
      clocks: new SiteClocks(),
    },
    writer: new UnkeptWriter(),
    longPacks: {
      decode: () => Promise.reject(new RangeError('no pack of the warm-up is long')),
      stop: async () => undefined,
    },
    maxPendingBytes: Number.POSITIVE_INFINITY,
    now,
    clock,
    log: silentLog,
    onDurable: () => undefined,
    onRoom: () => undefined,
  });
  const gate = new Gate({
    root: 'airlines',
    claims: () => false,
    limits,
    sink: intake,
    access: openAccess,
    log: silentLog,
  });
  const socket = new LoopSocket();
  gate.accept(socket.socket);
  socket.push(mqttPacket.generate({ cmd: 'connect', clientId: SITE, keepalive: 0, clean: true }));
  const inTime = (): boolean => clock() - began < MOST_MS;
  for (let sent = 0; sent < PACKS && inTime(); sent += PACKS_A_TURN) {
    socket.push(Buffer.concat(Array.from({ length: PACKS_A_TURN }, (_, i) => publish(sent + i, now()))));
    while (gate.counters.acknowledged < sent + PACKS_A_TURN && inTime()) await setImmediate();
  }
  socket.push(null);
  await intake.stop();
  return gate.counters.acknowledged;
}

/** A pack as the contract has it, of one second; each of a station is a little later than the one before. */
function publish(number: number, now: number): Buffer {
  const gun = `gun-${number % STATIONS}`;
  const at = ((now - PACKS) / 1000 + Math.floor(number / STATIONS) / 1000).toFixed(3);
  const digit = number % 10;
  const payload = `[{"bn":"${gun}/","bt":${at},"n":"conveying/pressure","u":"bar","v":2.4${digit}},{"n":"conveying/flow","u":"m3/h","v":2.${digit}},{"n":"supplementary/flow","u":"m3/h","v":1.${digit}},{"n":"supply/pressure","u":"bar","v":6.${digit}},{"n":"powder/output","u":"g/min","v":14${digit}},{"n":"trigger","vb":${digit > 4}}]`;
  const messageId = (number % 65_535) + 1;
  return mqttPacket.generate({
    cmd: 'publish',
    topic: `airlines/${SITE}/${gun}`,
    payload,
    qos: 1,
    messageId,
    dup: false,
    retain: false,
  });
}
