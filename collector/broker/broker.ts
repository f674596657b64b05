import type { SecureContextOptions } from 'node:tls';
import type { Log } from '../log.ts';
import { type BrokerAccess, openAccess } from './access.ts';
import { SWEEPS_PER_SECOND } from './allowance.ts';
import type { GateCounters } from './connection-host.ts';
import type { DeliverySink } from './delivery.ts';
import { Gate } from './gate.ts';
import type { BrokerLimits } from './limits.ts';
import { openPorts, type PortOptions, type TlsPort } from './open-ports.ts';

/** How long acknowledgements may take to leave at the end, ms. Source: own choice, because stop has 10 s in all. */
const FINISH_MS = 1_000;

export interface BrokerOptions {
  /** 0 takes any free port. */
  readonly port: number;
  readonly host: string;
  /** First level or levels of the contract's topics, e.g. `airlines`. */
  readonly root: string;
  /** Topics that a mapping of the configuration takes: they go to the sink too. Without it there are none. */
  readonly claims?: (topic: string) => boolean;
  readonly limits: BrokerLimits;
  readonly sink: DeliverySink;
  readonly log: Log;
  /** Who may do what; without it everybody may. */
  readonly access?: BrokerAccess;
  /** MQTT over TLS beside it; without it there is none. */
  readonly tls?: TlsPort | null;
  /** Where connections without TLS are taken then; default: at the same address. */
  readonly plain?: PortOptions['plain'];
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
  /** Of connections without TLS; where there are none, with. */
  readonly port: number;
  /** With TLS; null where there is none. */
  readonly tlsPort: number | null;
  /** Takes a renewed certificate for connections from now on. @throws {Error} where it is not usable: the one before stays */
  renew(context: SecureContextOptions): void;
  /** Publishes a retained message with QoS 1; an empty payload takes it away. */
  publishRetained(topic: string, payload: Uint8Array): void;
  /** Publishes once, to whoever has subscribed. */
  publishOnce(topic: string, payload: Uint8Array): void;
  /** Ends the connections and sessions of an account: its secret has been changed or taken away. */
  endAccount(account: string, why: string): void;
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
  const gate = new Gate({
    root,
    claims: options.claims ?? (() => false),
    limits,
    sink,
    access: options.access ?? openAccess,
    log,
  });
  const publishRetained = (topic: string, payload: Uint8Array): void =>
    void gate.sessions.publish(topic, Buffer.from(payload), 1, true, true);
  for (const { topic, payload } of options.retained ?? []) publishRetained(topic, payload);

  const ports = await openPorts({
    host: options.host,
    port: options.port,
    tls: options.tls ?? null,
    plain: options.plain ?? 'everywhere',
    maxConnections: limits.maxConnections,
    handshakeMs: 1000 * limits.connectTimeoutS,
    accept: (socket) => gate.accept(socket),
    onHandshakeFault: (remote, why) => gate.handshakeFault(remote, why),
  });
  const sweeping = setInterval(() => gate.sweep(), 1000 / SWEEPS_PER_SECOND);
  let closed: Promise<void> | null = null;
  const quiesce = (): Promise<void> => {
    if (closed !== null) return closed;
    closed = ports.close();
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
    gate.endMinute();
  };
  return {
    host: ports.plain?.host ?? options.host,
    port: ports.plain?.port ?? ports.tls ?? 0,
    tlsPort: ports.tls,
    renew: (context) => ports.renew(context),
    publishRetained,
    publishOnce: (topic, payload) => void gate.sessions.publish(topic, Buffer.from(payload), 0, false, true),
    endAccount: (account, why) => gate.endAccount(account, why),
    resume: () => gate.resume(),
    counts: () => ({
      ...gate.counters,
      connections: gate.connections,
      sessions: gate.sessions.kept,
      notForwarded: gate.sessions.dropped,
      notRetained: gate.sessions.retained.dropped,
    }),
    quiesce: () => void quiesce(),
    stop: () => (stopped ??= stop()),
  };
}
