import type { IConnackPacket, IConnectPacket, IPublishPacket } from 'mqtt-packet';
import { parseTopic } from '../broker/topics.ts';
import { backOffMs } from './back-off.ts';
import type { ExternalClientOptions, ExternalCounts } from './external-client-options.ts';
import { faultWords } from './fault-words.ts';
import { isVersionRefusal, Link, type Version } from './link.ts';
import { Outgoing } from './outgoing.ts';
import { Subscriptions } from './subscriptions.ts';

/** From opening the connection to the broker's answer to CONNECT, ms. Source: own choice, as the embedded broker allows. */
const CONNECT_MS = 10_000;

/**
 * Client of the plant's own broker, with one session that outlives both programs. A message is acknowledged once the sink has
 * settled it; one that was not is sent again by the broker and dropped as a repeat by the store.
 */
export class ExternalClient {
  readonly #options: ExternalClientOptions;
  readonly #outgoing = new Outgoing();
  readonly #subscriptions: Subscriptions;
  #link: Link | null = null;
  #version: Version = 5;
  #keepAliveMs: number;
  #timer: NodeJS.Timeout | null = null;
  #watch: NodeJS.Timeout | null = null;
  #stopping = false;
  #quiet = false;
  #fault: string | null = 'no connection yet';
  #failures = 0;
  #counts = { connections: 0, failures: 0, received: 0, acknowledged: 0, retainedSkipped: 0 };
  #presenceAt = 0;

  constructor(options: ExternalClientOptions) {
    this.#options = options;
    this.#keepAliveMs = options.config.keepAliveS * 1000;
    this.#subscriptions = new Subscriptions(options.filters, options.identity.filters);
  }

  counts(): ExternalCounts {
    const link = this.#link?.open ? this.#link : null;
    return {
      ...this.#counts,
      connected: link !== null,
      version: link?.version ?? null,
      fault: this.#fault ?? this.#subscriptions.fault,
      waiting: this.#link?.waiting ?? 0,
      unpublished: this.#outgoing.waiting,
    };
  }

  start(): void {
    this.#watch = setInterval(() => this.#link?.watch(this.#options.clock(), this.#keepAliveMs), 1000);
    this.#connect();
  }

  /** Publishes a retained message as soon as there is a connection; the newest of a topic counts. */
  publishRetained(topic: string, payload: Uint8Array): void {
    this.#outgoing.put(topic, Buffer.from(payload));
    this.#sendOutgoing();
  }

  /** Publishes once with QoS 0, where there is a connection. */
  publishOnce(topic: string, payload: Uint8Array): void {
    const packet = { cmd: 'publish', topic, payload: Buffer.from(payload), qos: 0, retain: false, dup: false } as const;
    if (this.#link?.open) this.#link.send(packet, this.#options.clock());
  }

  /** The sink has room again. */
  resume(): void {
    if (!this.#quiet) this.#link?.resume();
  }

  /** Reads nothing more; what was read is still acknowledged. */
  quiesce(): void {
    this.#quiet = true;
    this.#link?.pause();
  }

  stop(): void {
    this.#stopping = true;
    if (this.#timer !== null) clearTimeout(this.#timer);
    if (this.#watch !== null) clearInterval(this.#watch);
    const { presence, now, clock } = this.#options;
    const link = this.#link;
    if (link?.open && presence !== null) {
      const payload = presence.offline(now());
      const { topic } = presence;
      link.send({ cmd: 'publish', topic, payload, qos: 0, retain: true, dup: false }, clock());
    }
    link?.finish();
  }

  #connect(): void {
    this.#timer = null;
    const { options, version } = { options: this.#options, version: this.#version };
    this.#presenceAt = options.now();
    const slow = setTimeout(() => link.end('it did not answer in time'), CONNECT_MS);
    let asked = false;
    const socket = options.openSocket(() => {
      asked = true;
      link.start(this.#connectPacket(version), options.clock());
    });
    // Faults before the link listens.
    socket.on('error', (error: NodeJS.ErrnoException) => link.end(faultWords(error)));
    const link: Link = new Link(socket, version, {
      open: (connack) => {
        clearTimeout(slow);
        this.#opened(link, connack);
      },
      publish: (packet, settled) => this.#received(packet, settled),
      acknowledged: (messageId, code) => this.#acknowledged(messageId, code),
      subscribed: (messageId, codes) => this.#subscribed(messageId, codes),
      read: () => {
        if (options.sink.saturated) link.pause();
      },
      close: (why, refusal) => {
        clearTimeout(slow);
        this.#closed(version, asked, why, refusal);
      },
    });
    this.#link = link;
    if (this.#quiet) link.pause();
  }

  #connectPacket(version: Version): IConnectPacket {
    const { config, identity, password, presence } = this.#options;
    const { keepAliveS, sessionExpiryS, receiveMaximum, maxPacketBytes, username } = config;
    const will = presence && {
      topic: presence.topic,
      payload: presence.offline(this.#presenceAt),
      qos: 1 as const,
      retain: true,
    };
    return {
      cmd: 'connect',
      protocolId: 'MQTT',
      protocolVersion: version,
      clean: false,
      clientId: identity.clientId,
      keepalive: keepAliveS,
      ...(username !== null && { username }),
      ...(password !== null && { password: Buffer.from(password) }),
      ...(will && { will }),
      ...(version === 5 && {
        properties: { sessionExpiryInterval: sessionExpiryS, receiveMaximum, maximumPacketSize: maxPacketBytes },
      }),
    };
  }

  #opened(link: Link, { sessionPresent, properties }: IConnackPacket): void {
    const { config, presence, clock, log } = this.#options;
    this.#fault = null;
    this.#failures = 0;
    this.#counts.connections++;
    this.#keepAliveMs = 1000 * (properties?.serverKeepAlive ?? config.keepAliveS);
    log.info({ mqtt: link.version === 5 ? '5' : '3.1.1', sessionPresent }, 'connected to the external broker');
    this.#outgoing.begin(properties?.receiveMaximum);
    if (presence !== null) this.#outgoing.put(presence.topic, Buffer.from(presence.online(this.#presenceAt)));
    for (const packet of this.#subscriptions.begin(sessionPresent, link.version, () => this.#outgoing.newId()))
      link.send(packet, clock());
    this.#sendOutgoing();
  }

  /** @param asked whether CONNECT had been sent */
  #closed(version: Version, asked: boolean, why: string, refusal: number | null): void {
    this.#link = null;
    if (this.#stopping) return;
    const { random, log } = this.#options;
    const worked = this.#fault === null;
    const pauseMs = backOffMs(this.#failures, random());
    // A broker of the older version says so, or closes the connection without a word.
    const mute = asked && refusal === null && this.#counts.connections === 0;
    const other = !worked && (isVersionRefusal(refusal) || mute);
    if (other) this.#version = version === 5 ? 4 : 5;
    if (!worked) this.#failures++;
    this.#counts.failures++;
    if (this.#fault !== why) log.warn({ why, retryMs: pauseMs }, 'no connection to the external broker');
    this.#fault = why;
    this.#timer = setTimeout(() => this.#connect(), isVersionRefusal(refusal) && version === 5 ? 0 : pauseMs);
  }

  #received(packet: IPublishPacket, settled: () => void): void {
    const { root, claims, sink } = this.#options;
    const topic = parseTopic(root, packet.topic, claims);
    this.#counts.received++;
    const done = (): void => {
      this.#counts.acknowledged++;
      settled();
    };
    // What we say ourselves may come back; and a reading that the broker has kept tells nobody when it was read.
    const ours = topic.kind === 'condition' || topic.name === this.#options.presence?.topic;
    const kept = packet.retain && topic.kind !== 'online';
    if (kept && !ours) this.#counts.retainedSkipped++;
    if (ours || kept) {
      done();
      return;
    }
    const payload = Buffer.isBuffer(packet.payload) ? packet.payload : Buffer.from(packet.payload);
    sink.take({
      topic,
      loan: null,
      payload,
      clientId: 'external broker',
      origin: { settled: done },
      packetId: packet.messageId ?? 0,
    });
  }

  #acknowledged(messageId: number, code: number): void {
    const topic = this.#outgoing.acknowledged(messageId);
    if (code >= 128) this.#options.log.warn({ topic, code }, 'the external broker refuses what was published to it');
    this.#sendOutgoing();
  }

  #subscribed(messageId: number, codes: readonly number[]): void {
    if (!this.#subscriptions.granted(messageId, codes)) return;
    const { fault, held } = this.#subscriptions;
    if (fault !== null) this.#options.log.error({ fault }, 'the external broker refuses a subscription');
    this.#options.onSubscribed(held);
  }

  #sendOutgoing(): void {
    if (!this.#link?.open) return;
    for (const packet of this.#outgoing.next()) this.#link.send(packet, this.#options.clock());
  }
}
