import type { Socket } from 'node:net';
import type { Log } from '../log.ts';
import type { BrokerAccess } from './access.ts';
import { SWEEPS_PER_SECOND } from './allowance.ts';
import type { Will } from './connect-packet.ts';
import { Connection } from './connection.ts';
import type { ConnectionHost, GateCounters, HostedConnection } from './connection-host.ts';
import type { Delivery, DeliverySink } from './delivery.ts';
import { knownTopics, type TopicLookup } from './known-topic.ts';
import type { BrokerLimits } from './limits.ts';
import { PublishHead } from './publish-head.ts';
import { Sessions } from './sessions.ts';
import { isBrokersOwn, parseTopic, type Topic } from './topics.ts';
import { SharedTurn } from './turn-share.ts';

/** Lines a minute about ended connections; the rest is counted. Source: own choice, because a log is read by people. */
const LINES_PER_MINUTE = 30;

/** TCP's own watch for dead peers, ms. Source: own choice, because clients without a MQTT keep-alive have no other. */
const TCP_KEEP_ALIVE_MS = 60_000;

/** All connections, what they share, and the door they come in by. */
export class Gate implements ConnectionHost {
  readonly counters: GateCounters = {
    accepted: 0,
    refused: 0,
    faulted: 0,
    acknowledged: 0,
    discarded: 0,
    denied: 0,
    throttled: 0,
  };
  readonly limits: BrokerLimits;
  readonly sink: DeliverySink;
  readonly access: BrokerAccess;
  readonly sessions: Sessions;
  readonly publishHead = new PublishHead();
  readonly knownTopic: TopicLookup;
  sweeps = 0;
  readonly #root: string;
  readonly #claims: (topic: string) => boolean;
  readonly #log: Log;
  readonly #connections = new Set<Connection>();
  #dirty: HostedConnection[] = [];
  #turns: HostedConnection[] = [];
  readonly #turn = new SharedTurn();
  #turning = false;
  #lines = 0;
  #stopping = false;

  constructor(parts: {
    root: string;
    claims: (topic: string) => boolean;
    limits: BrokerLimits;
    sink: DeliverySink;
    access: BrokerAccess;
    log: Log;
  }) {
    this.#root = parts.root;
    this.#claims = parts.claims;
    this.limits = parts.limits;
    this.sink = parts.sink;
    this.access = parts.access;
    this.sessions = new Sessions(parts.limits);
    this.knownTopic = knownTopics(parts.limits, (name) => this.topicOf(name));
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

  topicOf(name: string): Topic {
    return parseTopic(this.#root, name, this.#claims);
  }

  /** A will below the root is a message like any other: it goes to the intake first. */
  will(clientId: string, will: Will): void {
    // The clients of a broker that stops are alive.
    if (this.#stopping || isBrokersOwn(will.topic)) return;
    const topic = this.topicOf(will.topic);
    if (topic.kind === 'foreign') {
      this.sessions.publish(will.topic, will.payload, will.qos, will.retain, false);
      return;
    }
    const settled = (delivery: Delivery, accepted: boolean): void => {
      if (accepted) this.forward(delivery, will.qos);
    };
    this.sink.take({ topic, allowance: null, payload: will.payload, clientId, origin: { settled }, packetId: 0 });
  }

  forward({ topic, payload }: Delivery, qos: 0 | 1 | 2): void {
    const retain = topic.kind === 'online';
    if (retain || !this.sessions.silent) this.sessions.publish(topic.name, payload, qos, retain, true);
  }

  flushSoon(connection: HostedConnection): void {
    if (this.#dirty.length === 0) queueMicrotask(() => this.#flush());
    this.#dirty.push(connection);
  }

  #flush(): void {
    const dirty = this.#dirty;
    this.#dirty = [];
    for (const connection of dirty) connection.flush();
  }

  turn(): SharedTurn {
    if (!this.#turning) setImmediate(() => this.#nextTurn());
    this.#turning = true;
    return this.#turn;
  }

  queueTurn(connection: HostedConnection): void {
    this.#turns.push(connection);
  }

  #nextTurn(): void {
    this.#turning = false;
    this.#turn.next();
    const turns = this.#turns;
    this.#turns = [];
    let index = 0;
    while (index < turns.length && !this.#turn.over) turns[index++]!.nextTurn();
    // Those that had none yet come before those that had one.
    if (index < turns.length) this.#turns = [...turns.slice(index), ...this.#turns];
  }

  /** The intake has room again: connections that waited for it are read. */
  resume(): void {
    for (const connection of this.#connections) {
      if (this.sink.saturated) return;
      connection.resume();
    }
  }

  /** Called `SWEEPS_PER_SECOND` times a second: silent connections end, and so do sessions whose clients stay away. */
  sweep(): void {
    this.sweeps++;
    for (const connection of this.#connections) connection.sweep();
    if (this.sweeps % SWEEPS_PER_SECOND !== 0) return;
    this.sessions.sweep();
    if (this.sweeps % (60 * SWEEPS_PER_SECOND) !== 0) return;
    if (this.#lines > LINES_PER_MINUTE)
      this.#log.warn({ more: this.#lines - LINES_PER_MINUTE }, 'more connections were refused or ended in this minute');
    this.#lines = 0;
  }

  denied(connection: HostedConnection, what: string, first: boolean): void {
    this.counters.denied++;
    if (first) this.#say({ remote: connection.remote, client: connection.clientId, what }, 'not allowed');
  }

  closing(connection: HostedConnection, why: string, faulted: boolean): void {
    if (faulted) this.counters.faulted++;
    this.#say({ remote: connection.remote, client: connection.clientId, why }, 'connection ended');
  }

  /** A connection ended before TLS was agreed on. */
  handshakeFault(remote: string, why: string): void {
    this.counters.faulted++;
    this.#say({ remote, why }, 'no TLS connection');
  }

  left(connection: Connection): void {
    this.#connections.delete(connection);
  }

  /** Ends all connections of an account. */
  endAccount(account: string, why: string): void {
    for (const connection of this.#connections) if (connection.account === account) connection.fail(why);
    this.sessions.forgetAccount(account);
  }

  /** Reads nothing more from anybody. */
  stopReading(): void {
    this.#stopping = true;
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
