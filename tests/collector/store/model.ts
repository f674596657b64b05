import { CHANNELS, channelIndex } from '../../../collector/contract/channels.ts';
import type { Frames, Pack } from '../../../collector/contract/frames.ts';

export interface Reading {
  readonly station: string;
  readonly time: number;
  readonly channel: number;
  /** A number, or a powder's name. */
  readonly value: number | string;
}

const POWDER = channelIndex('powder/id');

/** What a store has to say, kept the plainest way: a map by (station, channel, time), the first value stays. */
export class Model {
  readonly #readings = new Map<string, Reading>();
  readonly duplicates = new Map<string, number>();
  readonly conflicts = new Map<string, number>();

  add(readings: readonly Reading[]): void {
    for (const reading of readings) {
      const key = `${reading.station} ${reading.time} ${reading.channel}`;
      const before = this.#readings.get(key);
      const counts = before?.value === reading.value ? this.duplicates : this.conflicts;
      if (!before) this.#readings.set(key, reading);
      else {
        const name = `${reading.station} ${CHANNELS[reading.channel]!.name}`;
        counts.set(name, (counts.get(name) ?? 0) + 1);
      }
    }
  }

  /** Rows as text, in order of time: comparable to `rowsOf`. */
  rows(station: string, from: number, to: number): string[] {
    const rows = new Map<number, string[]>();
    for (const reading of this.#readings.values()) {
      if (reading.station !== station || reading.time < from || reading.time >= to) continue;
      const row = rows.get(reading.time) ?? CHANNELS.map(() => '');
      row[reading.channel] = String(reading.value);
      rows.set(reading.time, row);
    }
    return [...rows].sort(([left], [right]) => left - right).map(([time, row]) => `${time},${row.join(',')}`);
  }

  all(station: string): Reading[] {
    return [...this.#readings.values()].filter((reading) => reading.station === station);
  }
}

export function rowsOf(frames: Frames): string[] {
  return Array.from(frames.times, (time, row) => {
    const cells = CHANNELS.map(({ name }) => {
      const value = frames.columns[name]?.[row];
      if (value === undefined || Number.isNaN(value)) return '';
      return name === 'powder/id' ? frames.strings[value] : String(value);
    });
    return `${time},${cells.join(',')}`;
  });
}

/** Readings as packs, one a station, in the order given. */
export function packsOf(readings: readonly Reading[], provenance = ''): Pack[] {
  const packs = new Map<string, Pack>();
  for (const { station, time, channel, value } of readings) {
    const pack = packs.get(station) ?? { station, times: [], channels: [], values: [], strings: [], provenance };
    packs.set(station, pack);
    pack.times.push(time);
    pack.channels.push(channel);
    if (channel !== POWDER) pack.values.push(value as number);
    else {
      const known = pack.strings.indexOf(value as string);
      pack.values.push(known >= 0 ? known : pack.strings.push(value as string) - 1);
    }
  }
  return [...packs.values()];
}

/** Small reproducible random numbers in [0, 1): Park and Miller's generator (CACM 31(10), 1988). */
export function randomFrom(seed: number): () => number {
  let state = (Math.abs(Math.trunc(seed)) % 2147483646) + 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}
