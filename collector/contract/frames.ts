import type { Channel } from './channels.ts';

/**
 * Readings of one station as columns. Row i of every column belongs to `times[i]`.
 *
 * `times` are epoch ms, whole, strictly ascending. A column holds canonical units, `NaN` where the
 * channel was not read at that time; `trigger` holds 0 and 1; `powder/id` holds indices into `strings`.
 * A channel that was never read has no column. Nothing is held over: holding is the reader's decision.
 */
export interface Frames {
  readonly station: string;
  readonly times: Float64Array;
  readonly columns: Readonly<Partial<Record<Channel, Float64Array>>>;
  readonly strings: readonly string[];
}

/**
 * Readings that one message or one block of a file brought, decoded and in canonical units: parallel
 * arrays, one element a reading. `channels` are indices into CHANNELS; booleans are 0 and 1;
 * a `powder/id` value is an index into `strings`.
 */
export interface Pack {
  readonly station: string;
  readonly times: number[];
  readonly channels: number[];
  readonly values: number[];
  readonly strings: string[];
  /** What stood before the channel in the resolved record name, e.g. `urn:dev:mac:…:`; '' when nothing. */
  readonly provenance: string;
}
