import { CHANNELS, type Channel } from '../contract/index.ts';

const HOUR_MS = 3_600_000;
/** More hours than any epoch time within the calendar has: keeps hour and subject apart in one number. */
const HOURS_SPAN = 2 ** 27;
/** Distinct hours remembered, over all stations. Source: own choice, because 50 years of one channel fit and junk cannot fill the memory. */
const MOST_HOURS = 500_000;

/** Values of a channel that were outside its limits within one hour. */
export interface RangeFact {
  readonly station: string;
  readonly channel: Channel;
  /** Beginning of the hour, epoch ms. */
  readonly time: number;
  readonly count: number;
}

/** Rows of a station whose time could not be used, near a good time of the same station. */
export interface ClockFact {
  readonly station: string;
  /** Hour (its beginning, epoch ms) of the station's last good row before them; null when there was none yet. */
  readonly time: number | null;
  readonly count: number;
  /** The first such time, epoch ms; null when it could not be read. */
  readonly found: number | null;
}

/** Gathers, while files are read, what else the readings say about sensors and clocks. */
export class ReadingFacts {
  private readonly stations: readonly string[];
  private readonly ranges = new Map<number, number>();
  private readonly clocks = new Map<number, { count: number; found: number | null }>();

  constructor(stations: readonly string[]) {
    this.stations = stations;
  }

  outOfRange(station: number, channel: number, time: number): void {
    const key = (station * CHANNELS.length + channel) * HOURS_SPAN + Math.floor(time / HOUR_MS);
    const count = this.ranges.get(key);
    if (count !== undefined || this.ranges.size < MOST_HOURS) this.ranges.set(key, (count ?? 0) + 1);
  }

  /** @param near last good time of the station, NaN when there was none */
  clock(station: number, near: number, found: number | null): void {
    const hour = Number.isNaN(near) ? HOURS_SPAN - 1 : Math.floor(near / HOUR_MS);
    const key = station * HOURS_SPAN + hour;
    const entry = this.clocks.get(key);
    if (entry !== undefined) entry.count++;
    else if (this.clocks.size < MOST_HOURS) this.clocks.set(key, { count: 1, found });
  }

  /** By station, channel and time. */
  rangeFacts(): RangeFact[] {
    return [...this.ranges.entries()]
      .sort(([left], [right]) => left - right)
      .map(([key, count]) => {
        const subject = Math.floor(key / HOURS_SPAN);
        const station = this.stations[Math.floor(subject / CHANNELS.length)] as string;
        const channel = (CHANNELS[subject % CHANNELS.length] as { name: Channel }).name;
        return { station, channel, time: (key % HOURS_SPAN) * HOUR_MS, count };
      });
  }

  /** By station and time. */
  clockFacts(): ClockFact[] {
    return [...this.clocks.entries()]
      .sort(([left], [right]) => left - right)
      .map(([key, { count, found }]) => {
        const hour = key % HOURS_SPAN;
        const station = this.stations[Math.floor(key / HOURS_SPAN)] as string;
        return { station, time: hour === HOURS_SPAN - 1 ? null : hour * HOUR_MS, count, found };
      });
  }
}
