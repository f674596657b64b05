import type { ConnectLimits } from './connect-packet.ts';

/** What one client, and all together, may ask of the broker. */
export interface BrokerLimits extends ConnectLimits {
  readonly maxPacketBytes: number;
  readonly maxConnections: number;
  /** The same of one account. */
  readonly maxConnectionsOfAccount: number;
  /** From the TCP connection to the CONNECT packet, s. */
  readonly connectTimeoutS: number;
  /** Messages and bytes of one connection that wait for their commit; beyond, its socket is not read. */
  readonly maxWaitingMessages: number;
  readonly maxWaitingBytes: number;
  /** Bytes for one client that it has not read yet; beyond, it is cut off. */
  readonly maxUnreadBytes: number;
  /** The same of all clients together; beyond, messages are dropped. */
  readonly maxUnreadBytesOfAll: number;
  /** Messages of one station in a second; beyond, its connection is not read. */
  readonly maxMessagesPerSecond: number;
  /** Connections of one address in a second, and twenty times as many at once; beyond, a CONNECT waits. */
  readonly maxConnectsPerSecond: number;
  /** Messages that bring no readings, of one account or address in a second; beyond, who sends them is not read. */
  readonly maxRefusedPerSecond: number;
  /** Packets that are not whole, or wait to be read, of all clients, bytes; beyond, the longest of whoever has most end. */
  readonly maxUnfinishedBytes: number;
  /** Topic filters of one client; more are refused. */
  readonly maxSubscriptions: number;
  /** The same of all clients together. */
  readonly maxSubscriptionsOfAll: number;
  /** Messages of QoS 1 and 2 that one client has not acknowledged; more wait in its queue. */
  readonly maxInFlightMessages: number;
  /** Messages kept for one absent client of a session. */
  readonly maxQueuedMessages: number;
  /** Retained messages outside the contract's topics. */
  readonly maxRetainedMessages: number;
  readonly maxRetainedBytes: number;
  readonly maxSessions: number;
  /** How long the session of an absent client is kept, s. */
  readonly sessionExpiryS: number;
}
