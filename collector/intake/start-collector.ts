import { type Broker, type BrokerCounts, startBroker } from '../broker/broker.ts';
import { conditionTopic, onlineTopic } from '../broker/topics.ts';
import type { OperationConfig } from '../config.ts';
import { CHANNEL_NAMES } from '../contract/channels.ts';
import type { GunCondition } from '../contract/finding.ts';
import type { Plant } from '../contract/plant.ts';
import { senmlDecoder } from '../decode/senml.ts';
import type { Log } from '../log.ts';
import { openStore } from '../store/embedded.ts';
import type { OnlineState, StationCommit, Store, Writer } from '../store/store.ts';
import { startWriter } from '../store/writer.ts';
import type { ClockReport } from './clock-report.ts';
import { Intake } from './intake.ts';
import type { IntakeCounters } from './intake-counters.ts';
import type { LatestReading, StationLatest } from './latest.ts';

/** How long what waits may take to become durable when the collector stops, ms. Source: own choice: half of the 10 s
 * that a stop may take. */
const DRAIN_MS = 5_000;

/** How far before a station's last reading its other channels are looked for, ms. Source: own choice, because idle nodes
 * report at least once in some minutes. */
const RESTORED_MS = 600_000;

export interface CollectorOptions {
  readonly plant: Plant;
  /** Data folder; made where there is none. */
  readonly dir: string;
  readonly config: Pick<OperationConfig, 'bind' | 'broker' | 'intake'>;
  /** Wall clock, epoch ms. */
  readonly now: () => number;
  /** Monotonic clock, ms. */
  readonly clock: () => number;
  readonly log: Log;
}

/** Readings of one station that have become durable. Times are epoch ms, the last one by the receiver's clock. */
export interface StationCommitted extends StationCommit {
  readonly receivedAt: number;
}

export interface CollectorEvents {
  readonly committed: (stations: readonly StationCommitted[]) => void;
  /** Readings that are too far ahead of the receiver's clock have been put aside. */
  readonly clock: (reports: readonly ClockReport[]) => void;
  readonly online: (states: readonly OnlineState[]) => void;
}

/** What a wall has to know of a station now. */
export interface StationNow {
  readonly station: string;
  readonly readings: readonly LatestReading[];
  /** Newest reading's own time, and the receiver's clock when it came; null before the first. */
  readonly newestTime: number | null;
  readonly newestReceivedAt: number | null;
  /** Median time between arrivals, ms; null before the third. Not known across a restart. */
  readonly reportingIntervalMs: number | null;
  /** As the node or its will last said; null when it never did. */
  readonly online: boolean | null;
}

export interface CollectorCounts {
  readonly intake: Readonly<IntakeCounters>;
  readonly broker: BrokerCounts;
  /** Payload bytes that wait for their commit. */
  readonly pendingBytes: number;
  /** False while the store takes nothing. */
  readonly storing: boolean;
}

/** A running acquisition: broker, intake and the store's writer. */
export interface Collector {
  readonly host: string;
  /** The MQTT port that was opened. */
  readonly port: number;
  /** For reading, and for records other than readings; closed by `stop`. */
  readonly store: Store;
  /** Calls `listener` on every event from now on; the result takes it off again. */
  on<Name extends keyof CollectorEvents>(name: Name, listener: CollectorEvents[Name]): () => void;
  /** null for a station that the plant file does not have. */
  latest(station: string): StationNow | null;
  counts(): CollectorCounts;
  /**
   * Publishes a gun's condition, retained, once it is durable.
   *
   * @throws {AppError} DISK_FULL, STORE_UNUSABLE: not published then
   */
  publishCondition(gun: string, condition: GunCondition): Promise<void>;
  /** Rejects when the store's thread dies by itself; resolves after `stop`. */
  readonly ended: Promise<void>;
  /** Takes nothing more, makes durable and acknowledges what was taken, and ends; within 10 s. May be called twice. */
  stop(): Promise<void>;
}

/**
 * Starts taking readings: opens the data folder, brings back retained conditions and online states, and opens the port.
 *
 * @throws {AppError} STORE_UNUSABLE, DISK_FULL, PORT_UNUSABLE
 */
export async function startCollector(options: CollectorOptions): Promise<Collector> {
  const writer = await startWriter(options.dir, {
    onTrouble: (error) =>
      options.log.warn({ error: error.message }, 'the store could not be tidied; it will be tried again'),
  });
  let store: Store;
  try {
    store = openStore(options.dir);
  } catch (error) {
    await writer.stop();
    throw error;
  }
  try {
    return await openForReadings(options, writer, store);
  } catch (error) {
    store.close();
    await writer.stop();
    throw error;
  }
}

type Listeners = { readonly [Name in keyof CollectorEvents]: Set<CollectorEvents[Name]> };

async function openForReadings(options: CollectorOptions, writer: Writer, store: Store): Promise<Collector> {
  const { plant, config, log } = options;
  const { root } = config.broker;
  const site = plant.site.id;
  const stations = new Set([...plant.guns, ...plant.air].map(({ id }) => id));
  const listeners: Listeners = { committed: new Set(), clock: new Set(), online: new Set() };
  const online = new Map(store.broker.online().map((state) => [state.station, state]));
  const known = new Map(store.readings.stations().map(({ station, lastTime }) => [station, lastTime]));
  let broker: Broker | null = null;
  let lastSeq = -1;

  const intake = new Intake({
    rules: { site, stations, decode: senmlDecoder(plant) },
    writer,
    maxPendingBytes: config.intake.maxPendingBytes,
    now: options.now,
    clock: options.clock,
    log,
    onRoom: () => broker?.resume(),
    onDurable: (group, outcome) => {
      for (const state of group.online) online.set(state.station, state);
      if (group.online.length > 0) for (const listener of listeners.online) listener(group.online);
      if (group.clockReports.length > 0) for (const listener of listeners.clock) listener(group.clockReports);
      // Groups that shared a transaction share its outcome.
      if (outcome.seq === lastSeq || outcome.stations.length === 0) return;
      lastSeq = outcome.seq;
      const { receivedAt } = group;
      // Once for each station in each commit: written out, because a spread takes many times as long.
      const committed = outcome.stations.map(({ station, minTime, maxTime, readings }) => ({
        station,
        minTime,
        maxTime,
        readings,
        receivedAt,
      }));
      for (const listener of listeners.committed) listener(committed);
    },
  });
  // What the plant file no longer has, or an earlier root, must not stay on display for ever.
  const conditions = new Set(plant.guns.map(({ id }) => conditionTopic(root, site, id)));
  const states = [...online.values()]
    .filter(({ station }) => stations.has(station))
    .map(({ station, online }) => ({
      topic: onlineTopic(root, site, station),
      payload: Buffer.from(String(online)),
    }));
  broker = await startBroker({
    port: config.broker.port,
    host: config.bind,
    root,
    limits: config.broker,
    sink: intake,
    log,
    retained: [...store.broker.retained().filter(({ topic }) => conditions.has(topic)), ...states],
  });
  const running = broker;

  let stopped: Promise<void> | null = null;
  const stop = async (): Promise<void> => {
    running.quiesce();
    let late: NodeJS.Timeout | undefined;
    await Promise.race([intake.drained(), new Promise<void>((resolve) => (late = setTimeout(resolve, DRAIN_MS)))]);
    clearTimeout(late);
    await running.stop();
    intake.stop();
    await writer.stop();
    store.close();
  };
  return {
    host: running.host,
    port: running.port,
    store,
    on: (name, listener) => {
      const all: Set<typeof listener> = listeners[name];
      all.add(listener);
      return () => void all.delete(listener);
    },
    latest: (station) => {
      const latest = intake.latest(station);
      if (latest === null) return null;
      if (known.has(station)) restoreLatest(store, latest, known, station);
      const heard = latest.newestTime !== Number.NEGATIVE_INFINITY;
      return {
        station,
        readings: latest.readings(),
        newestTime: heard ? latest.newestTime : null,
        newestReceivedAt: heard ? latest.newestReceivedAt : null,
        reportingIntervalMs: latest.reportingIntervalMs(),
        online: online.get(station)?.online ?? null,
      };
    },
    counts: () => ({
      intake: intake.counters,
      broker: running.counts(),
      pendingBytes: intake.pendingBytes,
      storing: intake.storing,
    }),
    publishCondition: async (gun, condition) => {
      const topic = conditionTopic(root, site, gun);
      const payload = Buffer.from(JSON.stringify(condition));
      await writer.commit({ retained: [{ topic, payload, qos: 1 }] });
      running.publishRetained(topic, payload);
    },
    ended: writer.ended,
    stop: () => {
      stopped ??= stop();
      return stopped;
    },
  };
}

/** Brings back a station's newest readings of before the start, the first time that somebody asks for them. */
function restoreLatest(store: Store, latest: StationLatest, known: Map<string, number>, station: string): void {
  const lastTime = known.get(station)!;
  known.delete(station);
  latest.restore(store.readings.frames(station, lastTime - RESTORED_MS, lastTime + 1, CHANNEL_NAMES));
}
