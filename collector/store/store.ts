import type { RunField, RunTable } from '../contract/runs.ts';
import type { AccessRecords, Audit } from './access-records.ts';
import type { ClockSpans } from './clock-spans.ts';
import type { OnlineState, Refusal, RetainedMessage, WaitingPack } from './commit-group.ts';
import type { DiskUse } from './disk-use.ts';
import type { Figures } from './figures.ts';
import type { HistorianOutbox } from './historian-outbox.ts';
import type { Outbox } from './outbox.ts';
import type { Damage } from './settled-damage.ts';
import type { StockMoves } from './stock-moves.ts';
import type { Baselines } from './stored-baselines.ts';
import type { Findings, Journal, Traces } from './stored-findings.ts';
import type { MaintenanceLog } from './stored-log.ts';
import type { DamagedSpan, Readings } from './stored-readings.ts';
import type { SettingsHistory, Truths } from './stored-words.ts';

export type * from './access-records.ts';
export type * from './commit-group.ts';
export type { Figures, StatedFigures } from './figures.ts';
export type { Outbox, OutboxEntry } from './outbox.ts';
export type { Damage, KnownDamage, Settlement } from './settled-damage.ts';
export type { StockMove, StockMoves } from './stock-moves.ts';
export type * from './stored-baselines.ts';
export type * from './stored-findings.ts';
export type * from './stored-log.ts';
export type * from './stored-readings.ts';
export type * from './stored-words.ts';

// What a store can do, whatever keeps it. Times are epoch ms; ranges are [from, to).
// `openStore(dir)` gives a `Store`: one connection, synchronous, one for each thread that needs it.
// `startWriter(dir)` gives the one `Writer` of a running service: its commits run in a thread of their own.

export interface Runs {
  /**
   * Runs that start in [from, to), by default all.
   *
   * @param fields that are read, by default all; the others say that nothing was measured
   */
  load(gun: string, from?: number, to?: number, fields?: readonly RunField[]): RunTable;
  /** Puts `table` in place of every run of its gun that starts at `from` or later. */
  replace(gun: string, from: number, table: RunTable): void;
  /** Guns that have runs. */
  guns(): string[];
  /** When the first of a gun's runs began and the last one ended; null where it has none. */
  span(gun: string): { readonly from: number; readonly to: number } | null;
  /**
   * Runs that are known to be damaged, of a gun or of all, in [from, to); not what somebody has settled. They are left out and noted by whoever
   * reads: the analysis finds them anew where their readings are left. Who hands them out as a whole refuses.
   */
  damaged(gun?: string, from?: number, to?: number): DamagedSpan[];
}

/** Named byte strings, e.g. the analyzer's checkpoints. */
export interface States {
  get(key: string): Uint8Array | null;
  put(key: string, bytes: Uint8Array): void;
  delete(key: string): void;
  /** Keys with this prefix, sorted. */
  keys(prefix?: string): string[];
}

export interface BrokerRecords {
  /** What a restarted broker must know again. Changes come through `Writer.commit` or these. */
  retained(): RetainedMessage[];
  putRetained(messages: readonly RetainedMessage[]): void;
  online(): OnlineState[];
}

export interface QuarantineEntry extends Omit<Refusal, 'payload'> {
  readonly id: number;
  /** The first bytes of the payload. */
  readonly payload: Uint8Array;
  readonly payloadBytes: number;
}

export interface Quarantine {
  /** Newest first. */
  list(filter?: { reason?: string; beforeId?: number; limit?: number }): QuarantineEntry[];
  /** By reason: all that ever came, what is still kept, and what was dropped as the oldest to stay in size. */
  counts(): { reason: string; received: number; kept: number; dropped: number }[];
  /** Those that cannot be read any more, by the pack: `list` leaves them out. */
  damaged(): DamagedSpan[];
}

export interface StoreStats {
  readonly fileBytes: number;
  readonly walBytes: number;
  readonly schemaVersion: number;
  readonly chunkFrames: number;
  readonly chunks: number;
  readonly tailBatches: number;
  readonly tailBytes: number;
}

export interface Store {
  readonly readings: Readings;
  readonly runs: Runs;
  readonly damage: Damage;
  readonly log: MaintenanceLog;
  readonly findings: Findings;
  readonly journal: Journal;
  readonly states: States;
  readonly settings: SettingsHistory;
  readonly truths: Truths;
  readonly baselines: Baselines;
  readonly traces: Traces;
  readonly broker: BrokerRecords;
  readonly quarantine: Quarantine;
  readonly stock: StockMoves;
  readonly figures: Figures;
  readonly outbox: Outbox;
  readonly access: AccessRecords;
  readonly audit: Audit;
  readonly diskUse: DiskUse;
  readonly historian: HistorianOutbox;
  readonly clocks: ClockSpans;
  /** Packs that wait until their station's clock is known, in the order in which they came. */
  waitingPacks(): WaitingPack[];
  counters(): Record<string, number>;
  /** Writes of `body` stand or fall together. */
  transaction<T>(body: () => T): T;
  stats(): StoreStats;
  close(): void;
}
