import type { BrokerAccess } from './access.ts';
import type { Burden } from './burden.ts';
import type { Will } from './connect-packet.ts';
import type { Delivery, DeliverySink } from './delivery.ts';
import type { TopicLookup } from './known-topic.ts';
import type { BrokerLimits } from './limits.ts';
import type { PublishHead } from './publish-head.ts';
import type { QueueRoom } from './queue-room.ts';
import type { Sessions } from './sessions.ts';
import type { Topic } from './topics.ts';
import type { SharedTurn } from './turn-share.ts';

/** What the gate has counted since the start. */
export interface GateCounters {
  /** Connections taken and refused. */
  accepted: number;
  refused: number;
  /** Connections that we ended because of what they sent or failed to send. */
  faulted: number;
  acknowledged: number;
  /** Messages to topics that belong to the broker. */
  discarded: number;
  /** Connections, messages and topic filters that access control refused. */
  denied: number;
  /** Times that a connection was not read because its station had sent too many messages. */
  throttled: number;
}

/** A connection as its host sees it. */
export interface HostedConnection {
  readonly clientId: string | null;
  readonly remote: string;
  readonly account: string | null;
  readonly burden: Burden;
  flush(): void;
  nextTurn(): void;
}

/** What the log says of a connection: client ids are often made up anew, so the account that it has signed in with is named too. */
export function shownAs({ remote, clientId, account }: HostedConnection): object {
  return { remote, client: clientId, ...(account ? { account } : {}) };
}

/** A will whose client is gone, and who pays for it. */
export interface DueWill {
  readonly clientId: string;
  readonly will: Will;
  readonly burden: Burden;
}

/** What a connection shares with all others. */
export interface ConnectionHost {
  readonly limits: BrokerLimits;
  readonly sink: DeliverySink;
  readonly access: BrokerAccess;
  readonly sessions: Sessions;
  readonly counters: GateCounters;
  /** For what clients leave unread that need not come. */
  readonly unreadRoom: QueueRoom;
  /** Sweeps so far: the only time that connections know. */
  readonly sweeps: number;
  /** Read anew for every PUBLISH. */
  readonly publishHead: PublishHead;
  readonly knownTopic: TopicLookup;
  topicOf(name: string): Topic;
  /** Has the will of a client published whose connection broke, in its turn. */
  will(due: DueWill): void;
  /** Has it published now, because its client has come back. */
  willBefore(clientId: string): void;
  /** Whether one more client of an account is let in. */
  hasRoomFor(account: string): boolean;
  /** A client has been let in: from now on its account pays for what it asks. */
  signedIn(connection: HostedConnection): void;
  /** Gives a committed delivery to whoever has subscribed; an online state is retained, readings never are. */
  forward(delivery: Delivery, qos: 0 | 1 | 2): void;
  /** Has the connection write what it has gathered once all of the commit, or of the turn, is known. */
  flushSoon(connection: HostedConnection): void;
  /** This turn of the event loop. */
  turn(): SharedTurn;
  /** Calls `nextTurn` after the others have had theirs. */
  queueTurn(connection: HostedConnection): void;
  /** Access control has refused something; one line a connection is logged. */
  denied(connection: HostedConnection, what: string, first: boolean): void;
  closing(connection: HostedConnection, why: string, faulted: boolean): void;
  left(connection: HostedConnection): void;
}
