import type { ClientStream } from './client-stream.ts';
import type { ConnectPacket } from './connect-packet.ts';
import type { Delivery, DeliverySink } from './delivery.ts';
import type { BrokerLimits } from './limits.ts';
import type { PublishHead, TopicLookup } from './publish-head.ts';

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
}

/** A connection as its host sees it. */
export interface HostedConnection {
  readonly connect: ConnectPacket | null;
  readonly stream: ClientStream | null;
  readonly remote: string;
  flush(): void;
}

/** What a connection shares with all others. */
export interface ConnectionHost {
  readonly limits: BrokerLimits;
  readonly sink: DeliverySink;
  readonly counters: GateCounters;
  /** Read anew for every PUBLISH. */
  readonly publishHead: PublishHead;
  readonly knownTopic: TopicLookup;
  /** Why a well-formed CONNECT may not go on, with the MQTT return code; null when it may. */
  refusal(connect: ConnectPacket): { readonly returnCode: number; readonly fault: string } | null;
  /** Shows a new client to aedes. */
  greet(connection: HostedConnection, stream: ClientStream): void;
  /** The answer to CONNECT as the client is to get it. */
  connack(connection: HostedConnection, bytes: Buffer): Buffer;
  /** Gives a committed message to whoever has subscribed. */
  forward(delivery: Delivery): void;
  /** Has the connection flush its acknowledgements once those of the whole commit are known. */
  flushSoon(connection: HostedConnection): void;
  closing(connection: HostedConnection, why: string, faulted: boolean): void;
  left(connection: HostedConnection): void;
}
