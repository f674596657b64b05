import type { Socket } from 'node:net';
import type { Log } from '../log.ts';
import type { BrokerAccess } from './access.ts';
import { Allowance, SWEEPS_PER_SECOND } from './allowance.ts';
import { Burden } from './burden.ts';
import { Connection } from './connection.ts';
import {
  type ConnectionHost,
  type DueWill,
  type GateCounters,
  type HostedConnection,
  shownAs,
} from './connection-host.ts';
import type { Delivery, DeliverySink } from './delivery.ts';
import { knownTopics, type TopicLookup } from './known-topic.ts';
import type { BrokerLimits } from './limits.ts';
import { Peers } from './peers.ts';
import { PublishHead } from './publish-head.ts';
import { QueueRoom } from './queue-room.ts';
import { Sessions } from './sessions.ts';
import { parseTopic, type Topic } from './topics.ts';
import { SharedTurn } from './turn-share.ts';
import { keepingTooMuch } from './unfinished.ts';
import { Wills } from './wills.ts';

/** Lines a minute about ended connections; the rest is counted. Source: own choice, because a log is read by people. */
const LINES_PER_MINUTE = 30;

/** Of what an address or account may ask for beyond readings, what one connection may: others of its address are left half. Source: own choice. */
const OWN_SHARE = 0.5;

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
  readonly unreadRoom: QueueRoom;
  readonly publishHead = new PublishHead();
  readonly knownTopic: TopicLookup;
  sweeps = 0;
  readonly #root: string;
  readonly #claims: (topic: string) => boolean;
  readonly #log: Log;
  readonly #connections = new Set<Connection>();
  readonly #peers: Peers;
  #dirty: HostedConnection[] = [];
  #turns: HostedConnection[] = [];
  readonly #turn = new SharedTurn();
  #turning = false;
  readonly #wills = new Wills(this);
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
    this.unreadRoom = new QueueRoom(parts.limits.maxUnreadBytesOfAll, 0);
    this.#peers = new Peers(parts.limits);
    this.knownTopic = knownTopics(parts.limits, (name) => this.topicOf(name));
    this.#log = parts.log;
  }

  get connections(): number {
    return this.#connections.size;
  }

  /** Takes a new connection in, or drops it when there are too many. */
  accept(socket: Socket): void {
    if (this.#connections.size >= this.limits.maxConnections && !this.#makeRoom()) {
      this.counters.refused++;
      this.#say({ remote: socket.remoteAddress, limit: this.limits.maxConnections }, 'connection refused: too many');
      socket.destroy();
      return;
    }
    this.counters.accepted++;
    const own = new Allowance(OWN_SHARE * this.limits.maxRefusedPerSecond, this.sweeps);
    const peer = this.#peers.ofAddress(socket.remoteAddress, this.sweeps);
    const connection = new Connection(this, socket, new Burden(() => this.sweeps, own, peer));
    this.#connections.add(connection);
    connection.start();
  }

  /** For a newcomer the longest that has not said CONNECT goes, where there is one: it could be anybody's. */
  #makeRoom(): boolean {
    for (const connection of this.#connections)
      if (connection.clientId === null && !connection.ended) {
        connection.fail('it has not said CONNECT, and there are too many connections');
        connection.destroy();
        this.#connections.delete(connection);
        return true;
      }
    return false;
  }

  topicOf(name: string): Topic {
    return parseTopic(this.#root, name, this.#claims);
  }

  will(due: DueWill): void {
    // The clients of a broker that stops are alive.
    if (this.#stopping) return;
    this.#wills.add(due);
    this.turn();
  }

  willBefore(clientId: string): void {
    this.#wills.before(clientId);
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
    this.#wills.publishSome();
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
    for (const connection of keepingTooMuch(this.#connections, this.limits.maxUnfinishedBytes))
      connection.fail('packets that are not whole, and wills, take too much memory, and it has most');
    if (this.sweeps % SWEEPS_PER_SECOND !== 0) return;
    this.sessions.sweep();
    this.#peers.sweep(this.sweeps);
    if (this.sweeps % (60 * SWEEPS_PER_SECOND) !== 0) return;
    this.endMinute();
  }

  signedIn({ account, burden }: HostedConnection): void {
    // Without accounts everybody is one: each pays by address then.
    if (account !== null && account !== '') burden.signIn(this.#peers.ofAccount(account, this.sweeps));
  }

  hasRoomFor(account: string): boolean {
    return (
      account === '' || this.#peers.ofAccount(account, this.sweeps).connections < this.limits.maxConnectionsOfAccount
    );
  }

  denied(connection: HostedConnection, what: string, first: boolean): void {
    this.counters.denied++;
    if (first) this.#say({ ...shownAs(connection), what }, 'not allowed');
  }

  closing(connection: HostedConnection, why: string, faulted: boolean): void {
    if (faulted) this.counters.faulted++;
    if (faulted && connection.clientId !== null) connection.burden.wasted();
    this.#say({ ...shownAs(connection), why }, 'connection ended');
  }

  /** A connection ended before TLS was agreed on. */
  handshakeFault(remote: string, why: string): void {
    this.counters.faulted++;
    this.#say({ remote, why }, 'no TLS connection');
  }

  left(connection: Connection): void {
    this.#connections.delete(connection);
    connection.burden.end();
  }

  /** Ends all connections of an account. */
  endAccount(account: string, why: string): void {
    for (const connection of this.#connections) if (connection.account === account) connection.fail(why);
    this.sessions.forgetAccount(account);
  }

  /** Reads nothing more from anybody. */
  stopReading(): void {
    this.#wills.publishAll();
    this.#stopping = true;
    for (const connection of this.#connections) connection.stopReading();
  }

  /** Ends every connection after what has been written to it. */
  finishAll(): void {
    for (const connection of this.#connections) connection.finish();
  }

  destroyAll(): void {
    for (const connection of this.#connections) connection.destroy();
  }

  /** Tells how many of the minute were not told one by one. */
  endMinute(): void {
    const more = this.#lines - LINES_PER_MINUTE;
    this.#lines = 0;
    if (more > 0) this.#log.warn({ more }, 'more connections were refused or ended in this minute');
  }

  #say(fields: object, message: string): void {
    if (this.#lines++ < LINES_PER_MINUTE) this.#log.warn(fields, message);
  }
}
