import { createServer } from 'node:net';
import { Aedes, type Client } from 'aedes';
import type { Log } from '../log.ts';
import type { GateCounters } from './connection-host.ts';
import type { Delivery, DeliverySink } from './delivery.ts';
import { Gate } from './gate.ts';
import { brokerHooks, forwardedPacket } from './hooks.ts';
import type { BrokerLimits } from './limits.ts';
import { listen } from './listen.ts';
import { ReadingSubscribers } from './reading-subscribers.ts';
import { RetainedBounds, type RetainedMemory } from './retained.ts';
import { type SessionMemory, Sessions } from './sessions.ts';

/** Committed messages on their way to subscribers at once; more are not passed on. Source: own choice, because a
 * subscriber that is this far behind must not hold up the intake. */
const MAX_FORWARDS = 10_000;
/** How long acknowledgements may take to leave at the end, ms. Source: own choice, because stop has 10 s in all. */
const FINISH_MS = 1_000;

export interface BrokerOptions {
  /** 0 takes any free port. */
  readonly port: number;
  readonly host: string;
  /** First level or levels of the contract's topics, e.g. `airlines`. */
  readonly root: string;
  readonly limits: BrokerLimits;
  readonly sink: DeliverySink;
  readonly log: Log;
  /** What was retained before a restart. */
  readonly retained?: readonly { readonly topic: string; readonly payload: Uint8Array }[];
}

export interface BrokerCounts extends GateCounters {
  readonly connections: number;
  readonly sessions: number;
  /** Messages that subscribers did not get, or that were not retained, because of a limit. */
  readonly notForwarded: number;
  readonly notRetained: number;
}

/** A running MQTT 3.1.1 broker that acknowledges what is below its root only when the sink has settled it. */
export interface Broker {
  readonly host: string;
  readonly port: number;
  /** Publishes a retained message with QoS 1; an empty payload takes it away. */
  publishRetained(topic: string, payload: Uint8Array): Promise<void>;
  /** The sink has room again. */
  resume(): void;
  counts(): BrokerCounts;
  /** Takes no more connections and reads nothing more; what was read is still acknowledged. */
  quiesce(): void;
  stop(): Promise<void>;
}

/**
 * Starts the broker.
 *
 * @throws {AppError} PORT_UNUSABLE
 */
export async function startBroker(options: BrokerOptions): Promise<Broker> {
  const { root, limits, sink, log } = options;
  let stopping = false;
  let forwards = 0;
  let notForwarded = 0;
  const subscribers = new ReadingSubscribers(root);
  const sessions = new Sessions(limits, (clientId) => {
    subscribers.drop(clientId);
    sessions.forget(clientId).catch((error: unknown) => log.error({ error, clientId }, 'a session was not forgotten'));
  });
  const bounds = new RetainedBounds(limits);
  const aedes = await Aedes.createBroker({
    ...brokerHooks({ root, sink, subscribers, stopping: () => stopping }),
    // Without a limit of its own: a slow subscriber is cut off by its connection, and holds up no other.
    concurrency: 0,
    maxTopicLevels: limits.maxTopicLevels,
    maxClientsIdLength: limits.maxClientIdBytes,
    connectTimeout: 1000 * limits.connectTimeoutS,
  });
  const { persistence } = aedes as Aedes & { persistence: SessionMemory & RetainedMemory };
  sessions.guard(persistence);
  bounds.guard(persistence, (topic) => topic.startsWith(`${root}/`));

  const publish = (packet: Parameters<Aedes['publish']>[0]): Promise<void> =>
    new Promise((resolve, reject) => {
      aedes.publish(packet, (error) => (error ? reject(error) : resolve()));
    });
  const publishRetained = (topic: string, payload: Uint8Array): Promise<void> =>
    publish({ cmd: 'publish', topic, payload: Buffer.from(payload), qos: 1, retain: true, dup: false });
  for (const { topic, payload } of options.retained ?? []) await publishRetained(topic, payload);

  const forward = (delivery: Delivery): void => {
    const retained = delivery.topic.kind === 'online';
    if (!retained && !subscribers.any) return;
    if (!retained && forwards >= MAX_FORWARDS) {
      notForwarded++;
      return;
    }
    forwards++;
    const packet = forwardedPacket(delivery);
    // Kept beyond this call, so it must not hold on to the whole block of bytes that it came in.
    if (retained || sessions.size > 0) packet.payload = Buffer.from(delivery.payload);
    aedes.publish(packet, (error) => {
      forwards--;
      if (error) log.warn({ error: error.message, topic: packet.topic }, 'a message was not passed on');
    });
  };
  const gate = new Gate({
    root,
    limits,
    sink,
    sessions,
    log,
    keeper: { greet: (stream) => aedes.handle(stream), forward },
  });
  aedes.on('clientReady', (client: Client) => {
    sessions.joined(client.id, client.clean);
    if (client.clean) subscribers.drop(client.id);
    gate.ready(client.conn);
  });
  aedes.on('clientDisconnect', (client: Client) => {
    sessions.left(client.id);
    if (client.clean) subscribers.drop(client.id);
  });
  (aedes as NodeJS.EventEmitter).on('unsubscribe', (filters: string[], client: Client) => {
    if (!client.closed) subscribers.remove(client.id, filters);
  });
  (aedes as NodeJS.EventEmitter).on('error', (error: Error) =>
    log.error({ error: error.message }, 'the broker reports a fault'),
  );

  const server = createServer((socket) => gate.accept(socket));
  let port: number;
  try {
    port = await listen(server, options.port, options.host, 'MQTT', '--mqtt-port');
  } catch (error) {
    await new Promise<void>((resolve) => aedes.close(resolve));
    throw error;
  }
  const sweeping = setInterval(() => gate.sweep(), 1000);
  let closed: Promise<void> | null = null;
  const quiesce = (): Promise<void> => {
    if (closed !== null) return closed;
    stopping = true;
    closed = new Promise<void>((resolve) => server.close(() => resolve()));
    gate.stopReading();
    return closed;
  };
  let stopped: Promise<void> | null = null;
  const stop = async (): Promise<void> => {
    const ended = quiesce();
    clearInterval(sweeping);
    gate.finishAll();
    const late = setTimeout(() => gate.destroyAll(), FINISH_MS);
    await ended;
    clearTimeout(late);
    await new Promise<void>((resolve) => aedes.close(resolve));
  };
  return {
    host: options.host,
    port,
    publishRetained,
    resume: () => gate.resume(),
    counts: () => ({
      ...gate.counters,
      connections: gate.connections,
      sessions: sessions.size,
      notForwarded: notForwarded + sessions.dropped,
      notRetained: bounds.dropped,
    }),
    quiesce: () => void quiesce(),
    stop: () => (stopped ??= stop()),
  };
}
