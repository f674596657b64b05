import type { SiteReadings } from '../analyzer/index.ts';
import { CHANNEL_STEPS, CHANNELS, type Channel, type ChannelInfo, type Frames } from '../collector/contract/index.ts';
import type { RangeFact } from '../collector/index.ts';

const HOUR_MS = 3_600_000;

/** Reports of one station as they left its node. */
export interface SentReports {
  readonly frames: Frames;
  readonly rows: Int32Array;
  readonly stamps: Float64Array;
}

/**
 * Takes a simulated hall's reports straight into columns, as reading its CSV files would: in order of their stamps, the first of
 * two alike, values rounded to their channel's resolution, impossible ones taken out and counted by the hour.
 */
export class SimulatedReadings {
  readonly #blocks = new Map<string, Frames[]>();
  readonly #outside = new Map<string, RangeFact & { count: number }>();

  /** Takes in a day's reports of a station; days in order. */
  add({ frames, rows, stamps }: SentReports): void {
    if (stamps.length === 0) return;
    const known = this.#blocks.get(frames.station) ?? [];
    this.#blocks.set(frames.station, known);
    const after = known.at(-1)?.times.at(-1) ?? Number.NEGATIVE_INFINITY;
    const order = Uint32Array.from(stamps.keys()).sort((a, b) => stamps[a]! - stamps[b]! || a - b);
    const kept: number[] = [];
    for (const place of order) {
      const before = kept.length === 0 ? after : Math.round(stamps[kept.at(-1)!]!);
      if (Math.round(stamps[place]!) > before) kept.push(place);
    }
    const times = Float64Array.from(kept, (place) => Math.round(stamps[place]!));
    const columns: Partial<Record<Channel, Float64Array>> = {};
    for (const [index, channel] of CHANNELS.entries()) {
      const source = frames.columns[channel.name];
      if (source)
        columns[channel.name] = this.#column(frames.station, channel, CHANNEL_STEPS[index]!, source, rows, kept, times);
    }
    known.push({ station: frames.station, times, columns, strings: frames.strings });
  }

  #column(
    station: string,
    channel: ChannelInfo,
    steps: number,
    source: Float64Array,
    rows: Int32Array,
    kept: readonly number[],
    times: Float64Array,
  ): Float64Array {
    const column = new Float64Array(kept.length);
    const [lowest, highest] = channel.range ?? [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
    for (let row = 0; row < kept.length; row++) {
      const value = source[rows[kept[row]!]!]!;
      const rounded = channel.dimension === null ? value : Math.round(value * steps) / steps;
      const refused = rounded < lowest || rounded > highest;
      if (refused) this.#refuse(station, channel.name, times[row]!);
      column[row] = refused ? Number.NaN : rounded;
    }
    return column;
  }

  #refuse(station: string, channel: Channel, time: number): void {
    const hour = Math.floor(time / HOUR_MS) * HOUR_MS;
    const key = `${station} ${channel} ${hour}`;
    const fact = this.#outside.get(key);
    if (fact) fact.count++;
    else this.#outside.set(key, { station, channel, time: hour, count: 1 });
  }

  /** All that was taken in, as reading files would give it. */
  table(): SiteReadings {
    const blocks = this.#blocks;
    return {
      stations: [...blocks.keys()],
      *blocks(station) {
        yield* blocks.get(station) ?? [];
      },
      rangeFacts: [...this.#outside.values()],
      clockFacts: [],
    };
  }
}
