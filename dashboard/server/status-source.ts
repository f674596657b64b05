import type { DamagedKind } from '../../collector/index.ts';
/** Room on the disk, in bytes, and when it will be used up. */
export interface DiskStatus {
  readonly usedBytes: number;
  readonly freeBytes: number;
  /** Bytes a day; null while it is not known. */
  readonly growthPerDay: number | null;
  /** Null where the room does not shrink, or is not known. */
  readonly daysLeft: number | null;
  readonly warning: string | null;
}

/** How one station is heard. Times are epoch ms. */
export interface StationStatus {
  readonly id: string;
  readonly name: string;
  /** Newest reading, as corrected; null before the first. */
  readonly newest: number | null;
  readonly online: boolean | null;
  /** By how much its clock is ahead (negative: behind), as its readings are corrected by; null while it is right. */
  readonly clockOffsetMs: number | null;
}

export interface RefusedStatus {
  readonly reason: string;
  /** In words. */
  readonly means: string;
  readonly received: number;
  readonly kept: number;
  readonly dropped: number;
}

/** What was kept and cannot be read any more. Times are epoch ms, both included. */
export interface DamagedStatus {
  readonly kind: DamagedKind;
  /** Id and name of the station; null where that cannot be told. */
  readonly id: string | null;
  readonly station: string | null;
  readonly from: number;
  readonly to: number;
  /** What is damaged, what was found and what was expected. */
  readonly why: string;
}

/** How the long-term store is served; absent where none is configured. */
export interface HistorianStatus {
  readonly target: string;
  /** Points delivered since the start, and those that it will never take. */
  readonly delivered: number;
  readonly refused: number;
  /** Spans of readings, runs and findings that wait. */
  readonly waiting: number;
  /** When everything was last delivered, epoch ms; null while it never was. */
  readonly caughtUpAt: number | null;
  readonly fault: string | null;
}

/** What an operator has to know of the service itself. */
export interface ServiceStatus {
  readonly startedAt: number;
  readonly disk: DiskStatus;
  readonly retention: { readonly rawDays: number; readonly thinnedDays: number; readonly runsDays: number };
  readonly stations: readonly StationStatus[];
  readonly refused: readonly RefusedStatus[];
  readonly damaged: readonly DamagedStatus[];
  readonly historian: HistorianStatus | null;
}

export interface StatusSource {
  status(): ServiceStatus;
}
