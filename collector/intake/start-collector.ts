import { AccountKeeper } from '../access/account-keeper.ts';
import { StationAccess } from '../access/station-access.ts';
import { conditionTopic, onlineTopic } from '../broker/topics.ts';
import { ConfiguredTranslator } from '../decode/mapped/translator.ts';
import { senmlDecoder } from '../decode/senml.ts';
import { rebirthCommand } from '../decode/sparkplug/sparkplug-payload.ts';
import { commandTopic } from '../decode/sparkplug/sparkplug-topic.ts';
import { takeSpooled } from '../import/take-spooled.ts';
import { openStore } from '../store/embedded.ts';
import type { CommitOutcome, Store, Writer } from '../store/store.ts';
import { startWriter } from '../store/writer.ts';
import { toldRarely } from '../told-rarely.ts';
import { BothBrokers } from './both-brokers.ts';
import type { Collector, CollectorOptions } from './collector.ts';
import { CollectorListeners } from './collector-listeners.ts';
import { committedStations } from './committed-stations.ts';
import { Intake } from './intake.ts';
import { birthsOf } from './kept-births.ts';
import { LongPacks } from './long-packs.ts';
import { packLimits } from './pack-limits.ts';
import { SiteClocks } from './site-clocks.ts';
import { StationsNow } from './stations-now.ts';
import { warmIntake } from './warm-intake.ts';
import { watchAccounts } from './watch-accounts.ts';

/** How long what waits may take to become durable when the collector stops, ms. Source: own choice: half of the 10 s
 * that a stop may take. */
const DRAIN_MS = 5_000;

/**
 * How long this thread waits for the lock of another's transaction, ms: nobody's packet is read meanwhile. Source: own choice: some fifty times
 * what any transaction of ours takes.
 */
const MAIN_WAITS_MS = 2_000;

/** How often packs are looked for that wait for a clock in vain, ms. Source: own choice. */
const CLOCKS_EVERY_MS = 5_000;

/**
 * Starts taking readings: opens the data folder, brings back retained conditions and online states, and opens the port.
 *
 * @throws {AppError} STORE_UNUSABLE, DISK_FULL, PORT_UNUSABLE, CONFIG_INVALID
 */
export async function startCollector(options: CollectorOptions): Promise<Collector> {
  const { warm = false, log } = options;
  const untidied = toldRarely(
    (error, keptBack) => log.warn({ error, keptBack }, 'the store could not be tidied; it will be tried again'),
    options.now,
  );
  const starting = startWriter(options.dir, {
    warm,
    onTrouble: ({ message }) => untidied(message),
    onDamaged: (sentence) => log.error({ error: sentence }, 'damaged readings were set aside'),
    onLost: (sentence) => log.error({ error: sentence }, 'readings that were committed are missing'),
  });
  // Both threads at once.
  const [writer] = await Promise.all([starting, warm ? warmIntake({ ...options, limits: options.config.broker }) : 0]);
  let store: Store;
  try {
    store = openStore(options.dir, { besideWriter: true, eager: options.clock, busyMs: MAIN_WAITS_MS });
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

async function openForReadings(options: CollectorOptions, writer: Writer, store: Store): Promise<Collector> {
  const { plant, config, log, now, clock } = options;
  const { root } = config.broker;
  const site = plant.site.id;
  const stations = new Set([...plant.guns, ...plant.air].map(({ id }) => id));
  const limits = packLimits(config);
  const listeners = new CollectorListeners();
  const known = new StationsNow(store);
  const clocks = new SiteClocks(store.clocks.current());
  clocks.takeUp(store.waitingPacks(), known.lastTimes, now());
  const brokers = new BothBrokers(config.sparkplug.hostId, now);
  const full = toldRarely((what, keptBack) => log.warn({ keptBack }, what), now);
  const translator = new ConfiguredTranslator(
    plant,
    config,
    ({ group, node }, at) => {
      log.info({ group, node }, 'an edge node is asked for its births');
      // Not while the message is being taken that gave rise to it.
      setImmediate(() => brokers.publishOnce(commandTopic(group, node), rebirthCommand(at)));
    },
    limits,
    () =>
      full('no room is left to remember another edge node that is mapped: it is asked for its births again and again'),
  );
  translator.restore(birthsOf(store.broker.retained()));
  let lastSeq = -1;

  const tellCommitted = (outcome: CommitOutcome, receivedAt: number): void => {
    // Groups that shared a transaction share its outcome.
    if (outcome.seq === lastSeq || outcome.stations.length === 0) return;
    lastSeq = outcome.seq;
    listeners.tell('committed', committedStations(outcome, receivedAt));
  };
  const intake = new Intake({
    rules: { site, stations, decode: senmlDecoder(plant, limits), translator, clocks },
    writer,
    longPacks: new LongPacks({ plant, limits }),
    maxPendingBytes: config.intake.maxPendingBytes,
    now,
    clock,
    log,
    onRoom: () => brokers.resume(),
    onDurable: (group, outcome) => {
      known.said(group.online);
      // Readings that wait are shown as well.
      if (group.online.length > 0 || group.waits) listeners.tell('online', group.online);
      if (group.clockReports.length > 0) listeners.tell('clock', group.clockReports);
      tellCommitted(outcome, group.receivedAt);
    },
  });
  // What the plant file no longer has, or an earlier root, must not stay on display for ever.
  const conditions = new Set(plant.guns.map(({ id }) => conditionTopic(root, site, id)));
  const shown = store.broker.retained().filter(({ topic }) => conditions.has(topic));
  const states = known.online
    .filter(({ station }) => stations.has(station))
    .map((one) => ({ topic: onlineTopic(root, site, one.station), payload: Buffer.from(String(one.online)) }));
  const keeper = new AccountKeeper(store, config.accounts.required);
  const ways = { root, claims: (topic: string): boolean => translator.claims(topic), sink: intake, log };
  const broker = await brokers.start(
    {
      ...ways,
      port: config.broker.port,
      host: config.bind,
      limits: config.broker,
      access: new StationAccess({ root, site, accounts: store.access.stations, door: keeper }),
      tls: options.tls ? { port: config.tls.mqttPort, context: options.tls } : null,
      plain: config.tls.plainMqtt,
      retained: states,
    },
    { ...ways, config: config.externalBroker, site, filters: translator.filters(), store, now, clock },
    shown,
  );

  const spooled = takeSpooled(store, writer, log, (outcome, { packs }) => {
    for (const pack of packs) intake.latest(pack.station)?.take(pack, now());
    tellCommitted(outcome, now());
  });
  const accounts = watchAccounts(keeper, broker, log, () => listeners.tell('closed'));
  const settling = setInterval(() => intake.settleClocks(), CLOCKS_EVERY_MS);

  let stopped: Promise<void> | null = null;
  const stop = async (): Promise<void> => {
    accounts.stop();
    clearInterval(settling);
    await spooled.stop();
    brokers.quiesce();
    let late: NodeJS.Timeout | undefined;
    await Promise.race([intake.drained(), new Promise<void>((resolve) => (late = setTimeout(resolve, DRAIN_MS)))]);
    clearTimeout(late);
    await brokers.stop();
    await intake.stop();
    await writer.stop();
    store.close();
  };
  return {
    host: broker.host,
    port: broker.port,
    tlsPort: broker.tlsPort,
    store,
    accountsRequired: () => keeper.required(),
    accountsChanged: accounts.look,
    renew: (tls) => broker.renew(tls),
    on: (name, listener) => listeners.add(name, listener),
    latest: (station) => {
      const latest = intake.latest(station);
      return latest && known.look(station, latest);
    },
    counts: () => ({
      intake: intake.counters,
      broker: broker.counts(),
      external: brokers.external?.counts() ?? null,
      pendingBytes: intake.pendingBytes,
      storing: intake.storing,
    }),
    publishCondition: async (gun, condition) => {
      const topic = conditionTopic(root, site, gun);
      const payload = Buffer.from(JSON.stringify(condition));
      await writer.commit({ retained: [{ topic, payload, qos: 1 }] });
      brokers.publishRetained(topic, payload);
    },
    ended: writer.ended,
    retain: (rules, at) => writer.retain(rules, at),
    stop: () => {
      stopped ??= stop();
      return stopped;
    },
  };
}
