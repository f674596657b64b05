import type { Channel } from '../contract/channels.ts';
import type { Finding } from '../contract/finding.ts';
import type { Frames } from '../contract/frames.ts';
import type { ExcludedSpan, Judged, Judgement } from '../contract/judgement.ts';
import type { LogEntry } from '../contract/log-entry.ts';
import type { RunTable } from '../contract/runs.ts';
import type { Settings, SettingsVersion } from '../contract/settings.ts';
import type { AccessRecords, Audit } from './access-records.ts';
import type { ClockSpans } from './clock-spans.ts';
import type { OnlineState, Refusal, RetainedMessage } from './commit-group.ts';
import type { DiskUse } from './disk-use.ts';
import type { Figures } from './figures.ts';
import type { HistorianOutbox } from './historian-outbox.ts';
import type { Outbox } from './outbox.ts';
import type { StockMoves } from './stock-moves.ts';

export type * from './access-records.ts';
export type * from './commit-group.ts';
export type { Figures, StatedFigures } from './figures.ts';
export type { Outbox, OutboxEntry } from './outbox.ts';
export type { StockMove, StockMoves } from './stock-moves.ts';

// What a store can do, whatever keeps it. Times are epoch ms; ranges are [from, to).
// `openStore(dir)` gives a `Store`: one connection, synchronous, one for each thread that needs it.
// `startWriter(dir)` gives the one `Writer` of a running service: its commits run in a thread of their own.

/** Readings by minute: row i covers [times[i], times[i] + 60 000). `NaN` and 0 where a channel was not read. */
export interface Minutes {
  readonly station: string;
  readonly times: Float64Array;
  readonly columns: Readonly<
    Partial<Record<Channel, { min: Float64Array; max: Float64Array; mean: Float64Array; count: Float64Array }>>
  >;
}

export interface StationInfo {
  readonly station: string;
  readonly firstTime: number;
  readonly lastTime: number;
}

/** Exact counts of a station, of tail and chunks together. */
export interface StationCounts {
  readonly station: string;
  /** Instants at which anything was read. */
  readonly frames: number;
  /** Distinct (channel, time). */
  readonly readings: number;
  /** By channel: the same value again, and another value for a time that had one. */
  readonly duplicates: Readonly<Partial<Record<Channel, number>>>;
  readonly conflicts: Readonly<Partial<Record<Channel, number>>>;
}

/** A sensor that has sent a channel: what stood before the channel in its record names. */
export interface Provenance {
  readonly station: string;
  readonly channel: Channel;
  readonly sensor: string;
  readonly firstTime: number;
  readonly lastTime: number;
}

export interface Readings {
  /** All readings of a station in [from, to) as columns, without duplicates; of all channels or those named. A row for each instant of the station. */
  frames(station: string, from: number, to: number, channels?: readonly Channel[]): Frames;
  /** The same in blocks of ascending times, each read for itself: for spans that should not be in memory at once. */
  iterateFrames(station: string, from: number, to: number, channels?: readonly Channel[]): Generator<Frames>;
  /** By minute; where only thinned readings are left, by their longer spans, each under its start. */
  minutes(station: string, from: number, to: number, channels?: readonly Channel[]): Minutes;
  /** What retention has thinned: spans of `spanMs` that start in [from, to). */
  thinned(
    station: string,
    from: number,
    to: number,
    channels?: readonly Channel[],
  ): Minutes & { readonly spanMs: Float64Array };
  /** Raw readings that retention took away, all of them before `rawFrom`; null while there are none. */
  thinnedAway(station: string): { readonly rawFrom: number; readonly frames: number; readonly readings: number } | null;
  /** Every station that ever sent a reading. */
  stations(): StationInfo[];
  counts(station: string): StationCounts;
  /** Repeats of all stations by channel, those in the tail apart: for figures that are asked for every few seconds. */
  repeats(): readonly { readonly channel: Channel; readonly duplicates: number; readonly conflicts: number }[];
  provenance(station: string): Provenance[];
}

export interface Runs {
  /** Runs that start in [from, to), by default all. */
  load(gun: string, from?: number, to?: number): RunTable;
  /** Puts `table` in place of every run of its gun that starts at `from` or later. */
  replace(gun: string, from: number, table: RunTable): void;
  /** Guns that have runs. */
  guns(): string[];
}

/** A log entry as kept: `id` ascends in the order of recording. */
export interface StoredLogEntry extends LogEntry {
  readonly id: number;
  readonly recordedAt: number;
  /** What recorded it, e.g. `cli`, `api`, `demo`. */
  readonly source: string;
  /** Name of the person who did; empty where it is not known. */
  readonly who: string;
}

/** How something comes into the log. */
export interface LogRecord {
  readonly recordedAt: number;
  readonly source: string;
  readonly who?: string | undefined;
  readonly key?: string | undefined;
  /** Refuses the same work on the same part of the gun so near in time, ms: most likely one change told twice. */
  readonly onceWithinMs?: number | undefined;
}

/** An entry that was taken back: it stays on record, and counts no more. */
export interface LogCorrection {
  readonly id: number;
  readonly entry: number;
  /** The entry that stands in its place; null where it was only taken back. */
  readonly replacement: number | null;
  readonly at: number;
  readonly who: string;
  readonly why: string;
}

export interface MaintenanceLog {
  /**
   * Adds an entry. With a `key` that was used before nothing is added and the entry of then is returned, `added` false.
   */
  add(entry: LogEntry, record: LogRecord): { entry: StoredLogEntry; added: boolean };
  /**
   * Takes an entry back, and puts another in its place where one is given. The original stays on record.
   *
   * @throws {AppError} NOT_FOUND; EDITED_MEANWHILE when it was taken back before
   */
  correct(
    id: number,
    record: LogRecord & { readonly why: string; readonly replacement: LogEntry | null },
  ): LogCorrection;
  /** What counts: entries that were not taken back, in order of time, then id. */
  list(filter?: { gun?: string; from?: number; to?: number; afterId?: number }): StoredLogEntry[];
  /** All that was ever recorded, also what was taken back. */
  history(filter?: { gun?: string; from?: number; to?: number }): StoredLogEntry[];
  get(id: number): StoredLogEntry | null;
  /** In the order made; those after `afterId`. */
  corrections(afterId?: number): LogCorrection[];
  /** Highest id given so far, 0 when empty: compare it to learn of entries that other processes added. */
  lastId(): number;
}

export interface FindingKey {
  readonly gun: string | null;
  readonly cause: string;
  /** ISO 8601, as in the finding. */
  readonly raised: string;
}

export interface StoredFinding {
  readonly finding: Finding;
  /** Wall-clock times of the last save, of a change by late data, and of its withdrawal by late data. */
  readonly savedAt: number;
  readonly revisedAt: number | null;
  readonly withdrawnAt: number | null;
}

export interface Findings {
  /** Keeps the last state of each finding; `revised` says that late data or log entries changed it. */
  save(findings: readonly Finding[], at: number, revised?: boolean): void;
  /** Marks findings that late data took away; a later save takes the mark off. */
  withdraw(keys: readonly FindingKey[], at: number): void;
  /** One finding, withdrawn or not; null when there is none. */
  get(key: FindingKey): StoredFinding | null;
  /** Newest `raised` first; withdrawn ones only when asked. `before`: raised before this time. */
  list(filter?: { open?: boolean; withdrawn?: boolean; before?: number; limit?: number }): StoredFinding[];
}

/** What was shown and when. */
export interface JournalEntry {
  readonly id: number;
  /** Wall clock at which it was shown. */
  readonly shownAt: number;
  /** The finding as shown; its `asOf` is the reading time. */
  readonly finding: Finding;
  /** Wall clock at which late data made it untrue; null while it stands. */
  readonly revisedAt: number | null;
}

export interface Journal {
  append(findings: readonly Finding[], shownAt: number): void;
  /** Marks entries whose `asOf` is `fromAsOf` or later, of one gun (null: common causes) or of all (undefined). */
  revise(gun: string | null | undefined, fromAsOf: number, at: number): number;
  /** In the order shown. */
  list(filter?: { gun?: string | null; afterId?: number; limit?: number }): JournalEntry[];
}

/** What the analysis said of a gun's air at the end of an hour in which it sprayed. Air in m3/h DIN 1343; null where it is not known. */
export interface TracePoint {
  readonly gun: string;
  /** Epoch ms of reading time. */
  readonly time: number;
  readonly needed: number | null;
  readonly actual: number | null;
  /** Excess air with its 80 % interval. */
  readonly excess: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly changeLimit: number;
  readonly wearLeft: number | null;
}

/** The course of each gun's excess air, hour by hour. */
export interface Traces {
  put(points: readonly TracePoint[]): void;
  /** Forgets points later than `time` of all guns: they are computed anew. */
  dropAfter(time: number): void;
  /** Points in [from, to), ascending by time. */
  list(gun: string, from: number, to: number): TracePoint[];
}

/** Named byte strings, e.g. the analyzer's checkpoints. */
export interface States {
  get(key: string): Uint8Array | null;
  put(key: string, bytes: Uint8Array): void;
  delete(key: string): void;
  /** Keys with this prefix, sorted. */
  keys(prefix?: string): string[];
}

export interface StoredSettings extends SettingsVersion {
  readonly recordedAt: number;
  readonly who: string;
  readonly why: string;
  /** What was expected of it when it was adopted, in words; empty where nothing was said. */
  readonly expected: string;
}

export interface SettingsHistory {
  /** Adds the next version, which findings follow from `adopted` on (not before the version that it follows). */
  add(
    settings: Settings,
    record: { adopted: number; recordedAt: number; who: string; why: string; expected?: string },
  ): StoredSettings;
  /** Ascending. */
  list(): StoredSettings[];
}

/** A person's word on a finding as kept; `judged` null where it was taken back. */
export interface StoredJudgement extends Omit<Judgement, 'judged'> {
  readonly id: number;
  readonly judged: Judged | null;
  readonly at: number;
  readonly who: string;
}

export interface StoredExclusion extends ExcludedSpan {
  readonly id: number;
  readonly at: number;
  readonly who: string;
  readonly undoneAt: number | null;
  readonly undoneBy: string | null;
}

/** What people say of findings and of runs that are not to count. Nothing is overwritten: the newest word holds. */
export interface Truths {
  judge(
    word: Omit<Judgement, 'judged'> & { judged: Judged | null },
    record: { at: number; who: string },
  ): StoredJudgement;
  /** The newest word on each finding that was not taken back. */
  judgements(): StoredJudgement[];
  /** Every word ever said on one finding, oldest first. */
  history(gun: string | null, cause: string, raised: number): StoredJudgement[];
  exclude(span: ExcludedSpan, record: { at: number; who: string }): StoredExclusion;
  /** @returns false when there is no such exclusion, or it was undone before */
  undoExclusion(id: number, record: { at: number; who: string }): boolean;
  /** Those that hold, or all that ever did; ascending by id. */
  exclusions(filter?: { undone?: boolean }): StoredExclusion[];
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
  readonly log: MaintenanceLog;
  readonly findings: Findings;
  readonly journal: Journal;
  readonly states: States;
  readonly settings: SettingsHistory;
  readonly truths: Truths;
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
  counters(): Record<string, number>;
  /** Writes of `body` stand or fall together. */
  transaction<T>(body: () => T): T;
  stats(): StoreStats;
  close(): void;
}
