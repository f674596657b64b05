import { setImmediate } from 'node:timers/promises';
import mqttPacket from 'mqtt-packet';
import { StationAccess } from '../access/station-access.ts';
import { Gate } from '../broker/gate.ts';
import { LoopSocket } from '../broker/loop-socket.ts';
import type { OperationConfig } from '../config.ts';
import { Plant } from '../contract/plant.ts';
import { senmlDecoder } from '../decode/senml.ts';
import { silentLog } from '../log.ts';
import { UnkeptWriter } from '../store/unkept-writer.ts';
import { handOverOnce, keepForEver } from '../warm.ts';
import type { Group } from './group.ts';
import { Intake } from './intake.ts';
import { SiteClocks } from './site-clocks.ts';
import { WarmPacks } from './warm-packs.ts';

/**
 * Packs of the warm-up: 9024, in turns of two intakes, because V8 takes what it has seen of one alone for all there is, and compiles anew for
 * the next. Source: own choice: measured on a quiet machine, two thirds of them, and a third more, made no clear difference.
 */
const ROUNDS = 2;
const TURNS = 94;
const PACKS_A_TURN = 48;
/** What it may take, ms: a weak machine starts without the rest. Source: own choice. */
const MOST_MS = 500;
const CONNECTIONS = 4;
const TURNS_A_SWEEP = 8;
const STATIONS = 16;
const ROOT = 'airlines';
const SITE = 'warm-up';
const YEAR_MS = 365 * 86_400_000;
const NO_ACCOUNTS = { byName: () => null, secretOf: () => null };
const OPEN_DOOR = { required: () => false, cameIn: () => undefined };

export interface WarmIntakeOptions {
  readonly limits: OperationConfig['broker'];
  /** Wall clock, epoch ms, and a monotonic one, ms. */
  readonly now: () => number;
  readonly clock: () => number;
}

/**
 * Sends invented packs from connections that are none to a store that keeps nothing, over the very way that readings take, so that V8 has
 * compiled it before the first sensor connects: without, the first seconds are slower by a third. Nothing of it is counted, logged or stored.
 *
 * @returns packs that were acknowledged
 */
export async function warmIntake(options: WarmIntakeOptions): Promise<number> {
  const began = options.clock();
  handOverOnce();
  let acknowledged = 0;
  for (let round = 1; round <= ROUNDS; round++) {
    const inTime = (): boolean => options.clock() - began < (MOST_MS * round) / ROUNDS;
    // Readings of now, and such as were stored: clocks are judged by other ways.
    acknowledged += await warmOne(options, round % 2 === 0 ? YEAR_MS : 0, inTime);
  }
  return acknowledged;
}

async function warmOne(
  { limits, now, clock }: WarmIntakeOptions,
  agoMs: number,
  inTime: () => boolean,
): Promise<number> {
  const stations = Array.from({ length: STATIONS }, (_, number) => `gun-${number}`);
  const plant = Plant.parse({ site: { id: SITE, timezone: 'UTC' }, guns: stations.map((id) => ({ id })) });
  let newest: Group | null = null;
  const writer = new UnkeptWriter();
  const intake = new Intake({
    rules: {
      site: SITE,
      stations: new Set(stations),
      decode: senmlDecoder(plant),
      translator: null,
      clocks: new SiteClocks(),
    },
    writer,
    longPacks: {
      decode: () => Promise.reject(new RangeError('no pack of the warm-up is long')),
      stop: async () => undefined,
    },
    maxPendingBytes: Number.POSITIVE_INFINITY,
    now,
    clock,
    log: silentLog,
    onDurable: (group) => (newest = group),
    onRoom: () => undefined,
  });
  const gate = new Gate({
    root: ROOT,
    claims: () => false,
    limits,
    sink: intake,
    access: new StationAccess({ root: ROOT, site: SITE, accounts: NO_ACCOUNTS, door: OPEN_DOOR }),
    log: silentLog,
  });
  const sockets = Array.from({ length: CONNECTIONS }, () => new LoopSocket());
  sockets.forEach((socket, number) => {
    gate.accept(socket.socket);
    socket.push(mqttPacket.generate({ cmd: 'connect', clientId: `${SITE}-${number}`, keepalive: 0, clean: true }));
  });
  const invented = new WarmPacks(ROOT, SITE, stations);
  for (let turn = 0; turn < TURNS && inTime(); turn++) {
    const sent = turn * PACKS_A_TURN;
    sockets[turn % CONNECTIONS]!.push(invented.packets(sent, PACKS_A_TURN, now() - agoMs));
    while (gate.counters.acknowledged < sent + PACKS_A_TURN && inTime()) await setImmediate();
    if (turn % TURNS_A_SWEEP === 0) gate.sweep();
  }
  for (const socket of sockets) socket.push(null);
  await intake.stop();
  keepForEver(intake, gate, sockets, newest, writer);
  return gate.counters.acknowledged;
}
