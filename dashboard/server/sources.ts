import type { GunView, Histories, Job } from '../../analyzer/index.ts';
import type { Channel, Finding, GunCondition, LogEntry, Plant } from '../../collector/contract/index.ts';
import type { ImportDesk } from '../../collector/index.ts';
import type { AccessSource } from './access/access-source.ts';
import type { BaselineSource } from './baseline-source.ts';
import type { ExportSource } from './export-source.ts';

import type { PromiseSource } from './promise-source.ts';
import type { ShopSource } from './shop/shop-source.ts';
import type { TellingSource } from './shop/telling-model.ts';
import type { StatusSource } from './status-source.ts';

import type { TuningSource } from './tuning-source.ts';
import type { UpkeepSource } from './upkeep/upkeep-source.ts';

/** A value that is at hand or that has to be fetched. */
export type Soon<T> = T | Promise<T>;

/** The newest that a station sent. */
export interface LatestReadings {
  readonly station: string;
  /** Newest reading time, epoch ms. */
  readonly time: number;
  /** When it was received, epoch ms. */
  readonly receivedAt: number;
  /** Interval at which the station reports at present, ms; null while only one report came. */
  readonly intervalMs: number | null;
  /** Newest value of each channel, canonical unit, with its reading time in epoch ms. */
  readonly values: Readonly<
    Partial<Record<Channel, { readonly time: number; readonly value: number | boolean | string }>>
  >;
}

/** A log entry as the store keeps it. */
export interface RecordedEntry extends LogEntry {
  readonly id: string;
  /** When it was written down, epoch ms. */
  readonly recordedAt: number;
  /** Who did; empty where it is not known. */
  readonly who?: string;
}

/** A message or record that was refused. */
export interface QuarantineEntry {
  readonly id: string;
  /** When it was refused, epoch ms. */
  readonly time: number;
  readonly topic: string;
  readonly station: string | null;
  readonly reason: string;
  readonly detail: string;
  /** As much of the message as is kept, as text, and its whole length. */
  readonly payload: string;
  readonly payloadBytes: number;
}

export interface FindingsQuery {
  /** Only those not cleared. */
  readonly open: boolean;
  readonly limit: number;
  /** Only those raised before this, epoch ms; null for no bound. */
  readonly beforeMs: number | null;
}

/** A number for `/metrics`. Names are in Prometheus style, without the `driftline_` prefix. */
export interface Counter {
  readonly name: string;
  readonly help: string;
  readonly kind: 'counter' | 'gauge';
  readonly labels: Readonly<Record<string, string>>;
  readonly value: number;
}

/** Everything the dashboard shows and the one thing it writes; the composition root wires it to store and analyzer. */
export interface DashboardSources {
  readonly plant: Plant;
  /** All guns in the plant file's order; guns not analysed yet are absent. */
  conditions(): readonly GunCondition[];
  views(): readonly GunView[];
  /** Reading time up to which the analysis has looked, epoch ms; null before its first look. */
  readonly analysedTo?: () => number | null;
  /** By rank. */
  jobs(): readonly Job[];
  /** Newest first by `raised`. */
  findings(query: FindingsQuery): Soon<readonly Finding[]>;
  latest(station: string): LatestReadings | null;
  /** What the station's retained online state says; null when it never said. */
  online(station: string): boolean | null;
  /** Newest first by `time`, then by `recordedAt`. */
  log(query: { readonly gun: string | null; readonly limit: number }): Soon<readonly RecordedEntry[]>;
  /** Durable with the transaction that it is called in. With a `key` of before, also of before a restart, it gives the entry of then. */
  addLog(
    entry: LogEntry,
    key?: string,
    record?: { readonly who: string; readonly again: boolean },
  ): Soon<RecordedEntry>;
  /** Newest first; absent where no quarantine is kept. */
  quarantine?(query: { readonly limit: number }): Soon<readonly QuarantineEntry[]>;
  /** Sign-in, accounts and the audit trail; absent where none are kept. */
  readonly access?: AccessSource;
  /** Shelf, lives, costs, journal and reports; absent where none are kept. */
  readonly shop?: ShopSource;
  /** Mail and webhooks; absent where nobody is told. */
  readonly telling?: TellingSource;
  /** Parts on guns, plan and jobs. */
  readonly upkeep: UpkeepSource;
  /** The past of guns; absent where none is kept. */
  readonly histories?: Histories;
  /** From the first to the newest that is kept of a gun, readings or spray runs, epoch ms; null where there is neither. */
  readonly knownSpan?: (gun: string) => { readonly from: number; readonly to: number } | null;
  /** What the engineer changes; absent where none is kept. */
  readonly tuning?: TuningSource;
  /** The rate of false findings; absent where none is kept. */
  readonly promise?: PromiseSource;
  /** What people say of baselines; absent where none is kept. */
  readonly baselines?: BaselineSource;
  /** Everything that is kept, as tables; absent where nothing is. */
  readonly exports?: ExportSource;
  /** Logger files that people give to the service; absent where none are taken. */
  readonly imports?: ImportDesk;
  /** The service itself; absent where none is told. */
  readonly status?: StatusSource;
  counters(): readonly Counter[];
  /** Null when everything runs, else one sentence that says what does not. */
  notReady(): string | null;
  /** Calls back whenever anything above may have changed; returns how to stop that. */
  onChange(listener: () => void): () => void;
}
