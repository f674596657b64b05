import type { Socket } from 'node:net';
import type { Log } from '../log.ts';
import type { ClientStream } from './client-stream.ts';
import type { ConnectPacket } from './connect-packet.ts';
import { Connection } from './connection.ts';
import type { ConnectionHost, GateCounters, HostedConnection } from './connection-host.ts';
import type { Delivery, DeliverySink } from './delivery.ts';
import type { BrokerLimits } from './limits.ts';
import { PublishHead, type TopicLookup } from './publish-head.ts';
import type { Sessions } from './sessions.ts';
import { parseTopic, type Topic } from './topics.ts';
import { readText, topicNameFault } from './wire-text.ts';

/** Topics remembered as bytes. Source: own choice, because a plant has some thousand stations at most. */
const MAX_KNOWN_TOPICS = 20_000;
/** Lines a minute about ended connections; the rest is counted. Source: own choice, because a log is read by people. */
const LINES_PER_MINUTE = 30;

/** TCP's own watch for dead peers, ms. Source: own choice, because clients without a MQTT keep-alive have no other. */
const TCP_KEEP_ALIVE_MS = 60_000;

/** What the gate hands on to the broker proper. */
export interface GateKeeper {
  greet(stream: ClientStream): void;
  /** Gives a committed message to whoever has subscribed. */
  forward(delivery: Delivery): void;
}

/** All connections, what they share, and the door they come in by. */
export class Gate implements ConnectionHost {
  readonly counters: GateCounters = { accepted: 0, refused: 0, faulted: 0, acknowledged: 0, discarded: 0 };
  readonly limits: BrokerLimits;
  readonly sink: DeliverySink;
  readonly publishHead = new PublishHead();
  readonly #root: string;
  readonly #keeper: GateKeeper;
  readonly #sessions: Sessions;
  readonly #log: Log;
  readonly #connections = new Set<Connection>();
  readonly #byStream = new Map<unknown, Connection>();
  readonly #topics = new Map<string, Topic>();
  #dirty: HostedConnection[] = [];
  #sweeps = 0;
  #lines = 0;

  constructor(parts: {
    root: string;
    limits: BrokerLimits;
    sink: DeliverySink;
    keeper: GateKeeper;
    sessions: Sessions;
    log: Log;
  }) {
    this.#root = parts.root;
    this.limits = parts.limits;
    this.sink = parts.sink;
    this.#keeper = parts.keeper;
    this.#sessions = parts.sessions;
    this.#log = parts.log;
  }

  get connections(): number {
    return this.#connections.size;
  }

  /** Takes a new connection in, or drops it when there are too many. */
  accept(socket: Socket): void {
    if (this.#connections.size >= this.limits.maxConnections) {
      this.counters.refused++;
      this.#say({ remote: socket.remoteAddress, limit: this.limits.maxConnections }, 'connection refused: too many');
      socket.destroy();
      return;
    }
    this.counters.accepted++;
    socket.setNoDelay(true);
    socket.setKeepAlive(true, TCP_KEEP_ALIVE_MS);
    const connection = new Connection(this, socket);
    this.#connections.add(connection);
    connection.start();
  }

  /** Why a well-formed CONNECT may not go on, with the MQTT return code; null when it may. */
  refusal(connect: ConnectPacket): { readonly returnCode: number; readonly fault: string } | null {
    if (connect.cleanSession || this.#sessions.mayKeep(connect.clientId)) return null;
    return { returnCode: 3, fault: `no more than ${this.limits.maxSessions} sessions are kept` };
  }

  greet(connection: Connection, stream: ClientStream): void {
    this.#byStream.set(stream, connection);
    this.#keeper.greet(stream);
  }

  /** aedes has let the client of this stream in. */
  ready(stream: unknown): void {
    this.#byStream.get(stream)?.ready();
  }

  /** The answer to CONNECT: tells the client whether we still have its session [MQTT-3.2.2-2], which aedes only does if it subscribed. */
  connack(connection: HostedConnection, bytes: Buffer): Buffer {
    const { connect } = connection;
    if (connect === null || bytes.length < 4 || bytes[0] !== 0x20 || bytes[3] !== 0) return bytes;
    const present = !connect.cleanSession && this.#sessions.has(connect.clientId);
    return Buffer.concat([Buffer.of(0x20, 2, present ? 1 : 0, 0), bytes.subarray(4)]);
  }

  forward(delivery: Delivery): void {
    this.#keeper.forward(delivery);
  }

  /** The topic whose name these bytes are; undefined when it cannot be published to. */
  readonly knownTopic: TopicLookup = (buffer, from, to) => {
    const key = buffer.toString('latin1', from, to);
    return this.#topics.get(key) ?? this.#learnTopic(key, buffer, from - 2, to);
  };

  #learnTopic(key: string, buffer: Buffer, at: number, end: number): Topic | undefined {
    const name = readText(buffer, at, end, 'the topic');
    if ('fault' in name || topicNameFault(name.text, this.limits) !== null) return undefined;
    if (this.#topics.size >= MAX_KNOWN_TOPICS) this.#topics.clear();
    const topic = parseTopic(this.#root, name.text);
    this.#topics.set(key, topic);
    return topic;
  }

  /** Flushes the connection's acknowledgements once those of the whole commit are known. */
  flushSoon(connection: HostedConnection): void {
    if (this.#dirty.length === 0) queueMicrotask(() => this.#flush());
    this.#dirty.push(connection);
  }

  #flush(): void {
    const dirty = this.#dirty;
    this.#dirty = [];
    for (const connection of dirty) connection.flush();
  }

  /** The intake has room again: connections that waited for it are read. */
  resume(): void {
    for (const connection of this.#connections) {
      if (this.sink.saturated) return;
      connection.resume();
    }
  }

  /** Once a second: silent connections end, and so do sessions whose clients stay away. */
  sweep(): void {
    for (const connection of this.#connections) connection.sweep();
    this.#sessions.sweep();
    if (++this.#sweeps % 60 !== 0) return;
    if (this.#lines > LINES_PER_MINUTE)
      this.#log.warn({ more: this.#lines - LINES_PER_MINUTE }, 'more connections were refused or ended in this minute');
    this.#lines = 0;
  }

  closing(connection: HostedConnection, why: string, faulted: boolean): void {
    if (faulted) this.counters.faulted++;
    this.#say({ remote: connection.remote, client: connection.connect?.clientId ?? null, why }, 'connection ended');
  }

  left(connection: Connection): void {
    this.#connections.delete(connection);
    if (connection.stream !== null) this.#byStream.delete(connection.stream);
  }

  /** Reads nothing more from anybody. */
  stopReading(): void {
    for (const connection of this.#connections) connection.stopReading();
  }

  /** Ends every connection after what has been written to it. */
  finishAll(): void {
    for (const connection of this.#connections) connection.finish();
  }

  /** Ends every connection at once. */
  destroyAll(): void {
    for (const connection of this.#connections) connection.destroy();
  }

  #say(fields: object, message: string): void {
    if (this.#lines++ < LINES_PER_MINUTE) this.#log.warn(fields, message);
  }
}
