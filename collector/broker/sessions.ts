import { randomUUID } from 'node:crypto';
import type { ConnectPacket, Qos } from './connect-packet.ts';
import { FilterTree } from './filter-tree.ts';
import type { BrokerLimits } from './limits.ts';
import type { Message } from './message.ts';
import { QueueRoom } from './queue-room.ts';
import { RetainedMessages } from './retained-messages.ts';
import { Session, type SessionLink } from './session.ts';

/** A session to go on with, or why there is none, with the MQTT 3.1.1 return code (table 3.1). */
export type SessionVerdict =
  | { readonly ok: true; readonly session: Session; readonly present: boolean }
  | { readonly ok: false; readonly returnCode: number; readonly fault: string };

/** All sessions, who has subscribed to what, and what is retained. */
export class Sessions {
  readonly retained: RetainedMessages;
  readonly #limits: BrokerLimits;
  readonly #sessions = new Map<string, Session>();
  readonly #filters = new FilterTree<Session>();
  readonly #room: QueueRoom;
  /** Sessions that outlive their connection. */
  #kept = 0;
  #dropped = 0;

  constructor(limits: BrokerLimits) {
    this.#limits = limits;
    this.#room = new QueueRoom(limits.maxUnreadBytesOfAll);
    this.retained = new RetainedMessages(limits);
  }

  /** Sessions with clean session 0, here or away. */
  get kept(): number {
    return this.#kept;
  }

  /** Whether nobody has subscribed to anything. */
  get silent(): boolean {
    return this.#filters.size === 0;
  }

  /** Messages that clients did not get because their queues were full. */
  get dropped(): number {
    let dropped = this.#dropped;
    for (const session of this.#sessions.values()) dropped += session.dropped;
    return dropped;
  }

  /**
   * The session for a CONNECT: with clean session 0 the one of before, else a new one. A connection that has this client id
   * is ended [MQTT-3.1.4-2], unless it belongs to another account: then the newcomer is refused.
   */
  open(connect: ConnectPacket, account: string, link: SessionLink): SessionVerdict {
    const clientId = connect.clientId === '' ? `auto-${randomUUID()}` : connect.clientId;
    const before = this.#sessions.get(clientId);
    if (before !== undefined && before.account !== account)
      return { ok: false, returnCode: 2, fault: 'the client id belongs to another account' };
    const { maxSessions } = this.#limits;
    if (!connect.cleanSession && (before === undefined || before.clean) && this.#kept >= maxSessions)
      return { ok: false, returnCode: 3, fault: `no more than ${maxSessions} sessions are kept` };
    const old = before?.link ?? null;
    if (before !== undefined) before.link = null;
    old?.replaced();
    if (before !== undefined && !before.clean && !connect.cleanSession) {
      before.link = link;
      return { ok: true, session: before, present: true };
    }
    if (before !== undefined) this.#end(before);
    const session = new Session({
      clientId,
      account,
      clean: connect.cleanSession,
      limits: this.#limits,
      room: this.#room,
    });
    session.link = link;
    this.#sessions.set(clientId, session);
    if (!session.clean) this.#kept++;
    return { ok: true, session, present: false };
  }

  /** Whether a connection of this account has this client id, so that whoever comes with it takes its place. */
  hasPlaceOf(clientId: string, account: string): boolean {
    const before = this.#sessions.get(clientId);
    return before !== undefined && before.link !== null && before.account === account;
  }

  /** The session's connection has ended. */
  left(session: Session, link: SessionLink): void {
    if (session.link !== link) return;
    session.link = null;
    session.absentS = 0;
    if (session.clean) this.#end(session);
  }

  /** False where the session, or all together, have as many filters as they may. */
  subscribe(session: Session, filter: string, qos: Qos): boolean {
    const { maxSubscriptions, maxSubscriptionsOfAll } = this.#limits;
    const { subscriptions } = session;
    const full = subscriptions.size >= maxSubscriptions || this.#filters.size >= maxSubscriptionsOfAll;
    if (full && !subscriptions.has(filter)) return false;
    subscriptions.set(filter, qos);
    this.#filters.add(filter, session, qos);
    return true;
  }

  unsubscribe(session: Session, filter: string): void {
    if (session.subscriptions.delete(filter)) this.#filters.remove(filter, session);
  }

  /**
   * Gives a message to all whose subscriptions match, never as retained [MQTT-3.3.1-9], and retains it if it says so.
   *
   * @param payload may be a view of received bytes: what is kept is copied
   * @returns how many it went to
   * @param ours a topic of the contract's tree
   */
  publish(topic: string, payload: Buffer, qos: Qos, retain: boolean, ours: boolean): number {
    const subscribers = this.#filters.match(topic);
    if (subscribers.size === 0 && !retain) return 0;
    const message: Message = { topic, payload: Buffer.from(payload), qos };
    if (retain) this.retained.set(message, ours);
    for (const [session, granted] of subscribers) session.deliver(message, granted, false);
    return subscribers.size;
  }

  /** Ends the sessions of an account whose connections have been ended. */
  forgetAccount(account: string): void {
    for (const session of this.#sessions.values())
      if (session.account === account && session.link === null) this.#end(session);
  }

  /** Called once a second: ends the sessions of clients that have been away too long. */
  sweep(): void {
    for (const session of this.#sessions.values())
      if (session.link === null && ++session.absentS > this.#limits.sessionExpiryS) this.#end(session);
  }

  #end(session: Session): void {
    for (const filter of session.subscriptions.keys()) this.#filters.remove(filter, session);
    this.#dropped += session.dropped;
    session.dropped = 0;
    session.end();
    if (this.#sessions.get(session.clientId) !== session) return;
    this.#sessions.delete(session.clientId);
    if (!session.clean) this.#kept--;
  }
}
