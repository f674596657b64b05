import type { SecureContextOptions } from 'node:tls';
import type { BrokerCounts } from '../broker/broker.ts';
import type { OperationConfig } from '../config.ts';
import type { GunCondition } from '../contract/finding.ts';
import type { Plant } from '../contract/plant.ts';
import type { ExternalCounts } from '../external/external-client-options.ts';
import type { Log } from '../log.ts';
import type { RetentionRules } from '../store/retention-rules.ts';
import type { OnlineState, StationCommit, Store } from '../store/store.ts';
import type { ClockReport } from './clock-report.ts';
import type { IntakeCounters } from './intake-counters.ts';
import type { LatestReading } from './latest.ts';

export interface CollectorOptions {
  readonly plant: Plant;
  /** Data folder; made where there is none. */
  readonly dir: string;
  readonly config: Pick<
    OperationConfig,
    'bind' | 'broker' | 'intake' | 'externalBroker' | 'mappings' | 'sparkplug' | 'tls' | 'accounts'
  >;
  /** Certificate and key for MQTT over TLS; without, there is none. */
  readonly tls?: SecureContextOptions | undefined;
  /** Whether the way of readings is gone over with invented ones before the port opens, which takes some tenths of a second. Default false. */
  readonly warm?: boolean;
  /** Wall clock, epoch ms. */
  readonly now: () => number;
  /** Monotonic clock, ms. */
  readonly clock: () => number;
  readonly log: Log;
}

/** Readings of one station that have become durable. Times are epoch ms, the last one by the receiver's clock. */
export interface StationCommitted extends StationCommit {
  readonly receivedAt: number;
}

/** What each event tells. */
export interface CollectorEvents {
  readonly committed: [stations: readonly StationCommitted[]];
  /** Readings that are too far ahead of the receiver's clock have been put aside. */
  readonly clock: [reports: readonly ClockReport[]];
  readonly online: [states: readonly OnlineState[]];
  /** Accounts have just been set up: from now on nobody gets in without. */
  readonly closed: [];
}

/** What a wall has to know of a station now. */
export interface StationNow {
  readonly station: string;
  readonly readings: readonly LatestReading[];
  /** Newest reading's own time, and the receiver's clock when it came; null before the first. */
  readonly newestTime: number | null;
  readonly newestReceivedAt: number | null;
  /** Median time between arrivals, ms; null before the third. Not known across a restart. */
  readonly reportingIntervalMs: number | null;
  /** As the node or its will last said; null when it never did. */
  readonly online: boolean | null;
}

export interface CollectorCounts {
  readonly intake: Readonly<IntakeCounters>;
  readonly broker: BrokerCounts;
  /** null while no external broker is configured. */
  readonly external: ExternalCounts | null;
  /** Payload bytes that wait for their commit. */
  readonly pendingBytes: number;
  /** False while the store takes nothing. */
  readonly storing: boolean;
}

/** A running acquisition: broker, intake and the store's writer. */
export interface Collector {
  readonly host: string;
  /** The MQTT port that was opened; with TLS, where there is no other. */
  readonly port: number;
  /** The port of MQTT over TLS; null where there is none. */
  readonly tlsPort: number | null;
  /** True once accounts are set up: from then on nobody gets in without. */
  accountsRequired(): boolean;
  /** Accounts were changed: what depends on them is looked at now instead of within a second. */
  accountsChanged(): void;
  /** Takes a renewed certificate for connections from now on. @throws {Error} where it is not usable: the one before stays */
  renew(tls: SecureContextOptions): void;
  /** For reading, and for records other than readings; closed by `stop`. */
  readonly store: Store;
  /** Calls `listener` on every event from now on; the result takes it off again. */
  on<Name extends keyof CollectorEvents>(name: Name, listener: (...what: CollectorEvents[Name]) => void): () => void;
  /** null for a station that the plant file does not have. */
  latest(station: string): StationNow | null;
  counts(): CollectorCounts;
  /**
   * Publishes a gun's condition, retained, once it is durable.
   *
   * @throws {AppError} DISK_FULL, STORE_UNUSABLE: not published then
   */
  publishCondition(gun: string, condition: GunCondition): Promise<void>;
  /** Rejects when the store's thread dies by itself; resolves after `stop`. */
  readonly ended: Promise<void>;
  /** Takes away what is older than it has to be kept, behind the commits. */
  retain(rules: RetentionRules, now: number): Promise<void>;
  /** Takes nothing more, makes durable and acknowledges what was taken, and ends; within 10 s. May be called twice. */
  stop(): Promise<void>;
}
