import type { Finding } from '../contract/finding.ts';

// What the analysis found, what of it was shown, and the course of each gun's air. Times are epoch ms; ranges are [from, to).

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
  /** Newest `raised` first; withdrawn ones only when asked. `before`: raised before this time; `clearedFrom`: open, or cleared at this time or later. */
  list(filter?: {
    open?: boolean;
    withdrawn?: boolean;
    before?: number;
    clearedFrom?: number;
    limit?: number;
  }): StoredFinding[];
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
