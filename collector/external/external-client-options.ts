import type { DeliverySink } from '../broker/delivery.ts';
import type { Log } from '../log.ts';
import type { BrokerIdentity } from './broker-identity.ts';
import type { ExternalBroker } from './external-broker-config.ts';
import type { LinkSocket, Version } from './link.ts';

/** A message that says whether we are there: the first is the broker's to send when we vanish. */
export interface Presence {
  readonly topic: string;
  readonly offline: (nowMs: number) => string;
  readonly online: (nowMs: number) => string;
}

export interface ExternalClientOptions {
  readonly config: ExternalBroker;
  readonly identity: BrokerIdentity;
  readonly password: string | null;
  readonly root: string;
  readonly filters: readonly string[];
  /** True for topics that a mapping takes. */
  readonly claims: (topic: string) => boolean;
  readonly presence: Presence | null;
  readonly sink: DeliverySink;
  readonly openSocket: (opened: () => void) => LinkSocket;
  /** Filters that the session at the broker holds from now on. */
  readonly onSubscribed: (filters: readonly string[]) => void;
  readonly now: () => number;
  readonly clock: () => number;
  /** In [0, 1). */
  readonly random: () => number;
  readonly log: Log;
}

export interface ExternalCounts {
  readonly connected: boolean;
  /** MQTT version spoken, 5 or 3.1.1 (4 on the wire); null while not connected. */
  readonly version: Version | null;
  /** Why there is no connection, or what the broker refuses; null when all is well. */
  readonly fault: string | null;
  readonly connections: number;
  readonly failures: number;
  readonly received: number;
  readonly acknowledged: number;
  readonly retainedSkipped: number;
  readonly waiting: number;
  readonly unpublished: number;
}
