import type { Channel } from '../contract/channels.ts';
import type { Frames } from '../contract/frames.ts';

// What a store tells of readings. Times are epoch ms; ranges are [from, to).

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

/** What can be damaged on its own. */
export const DAMAGED_KINDS = ['readings', 'thinned readings', 'spray runs', 'refusals'] as const;
export type DamagedKind = (typeof DAMAGED_KINDS)[number];

/** Readings or spray runs of a station, or refusals, that were kept and cannot be read any more. */
export interface DamagedSpan {
  readonly kind: DamagedKind;
  /** What is damaged, e.g. `batch 12`. */
  readonly what: string;
  /** Empty where that cannot be told, as of refusals. */
  readonly station: string;
  /** From when to when, both included. Other readings of the span may be there. */
  readonly from: number;
  readonly to: number;
  /** What was found, and what was expected. */
  readonly fault: string;
  /** False where station and times may be others than they were, or more. */
  readonly certain: boolean;
}

/**
 * Reading a span of which something is damaged throws an AppError READINGS_DAMAGED, which names station, times, and what was found and
 * expected; a store that was opened to leave it out gives the rest.
 */
export interface Readings {
  /**
   * Readings and thinned ones that are known to be damaged, of a station or of all, in [from, to): what reads have met, and what the writer
   * has set aside; not what somebody has settled.
   */
  damaged(station?: string, from?: number, to?: number): DamagedSpan[];
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
