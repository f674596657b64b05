import { CHANNEL_NAMES, type Channel } from '../../collector/contract/index.ts';
import type { ClockReport, RangeFact, States, Store } from '../../collector/index.ts';
import { spanInWords } from '../diagnose/in-words.ts';
import type { StationFact } from '../site.ts';
import { packState, unpackState } from './state-bytes.ts';

const HOUR_MS = 3_600_000;
const KEY = 'live-clocks';
const RANGES_KEY = 'live-ranges';

/** Fewer readings ahead of the clock within an hour are junk, not a clock. Source: own choice. */
const LEAST_READINGS = 5;

/** First word of the counters in which the intake keeps values out of range: `range <station> <channel> <hour>`. */
const RANGE_COUNTER = 'range ';

interface ClockHour {
  readonly station: string;
  readonly hour: number;
  count: number;
  /** When enough had come, and what was claimed then, epoch ms; 0 before. */
  noticed: number;
  claimed: number;
}

/** What the intake found of sensors and clocks beside the readings that it took. */
export class LiveFacts {
  #clocks = new Map<string, ClockHour>();
  #ranges: RangeFact[] = [];
  #rangeText = '[]';
  #stale = false;
  #rangesStale = false;

  resume(states: States): void {
    const bytes = states.get(KEY);
    if (bytes !== null) this.#clocks = unpackState(bytes);
    const ranges = states.get(RANGES_KEY);
    if (ranges === null) return;
    // Those that were looked at are nothing new: stage two would go back to the first of them, maybe years.
    this.#rangeText = Buffer.from(ranges).toString('utf8');
    this.#ranges = JSON.parse(this.#rangeText) as RangeFact[];
  }

  /** Takes reports of the intake. @returns the time from which stage two must look again, Infinity when nothing was noticed */
  takeClocks(reports: readonly ClockReport[]): number {
    let from = Number.POSITIVE_INFINITY;
    for (const { station, receivedAt, claimedTime, count } of reports) {
      const hour = Math.floor(receivedAt / HOUR_MS);
      const key = `${station} ${hour}`;
      const entry = this.#clocks.get(key) ?? { station, hour, count: 0, noticed: 0, claimed: 0 };
      this.#clocks.set(key, entry);
      entry.count += count;
      this.#stale = true;
      if (entry.noticed > 0 || entry.count < LEAST_READINGS) continue;
      entry.noticed = Math.floor(receivedAt);
      entry.claimed = claimedTime;
      from = Math.min(from, entry.noticed);
    }
    return from;
  }

  /** Looks at the counters of values out of range. @returns like `takeClocks` */
  takeCounters(counters: Readonly<Record<string, number>>): number {
    const ranges: RangeFact[] = [];
    for (const [name, count] of Object.entries(counters)) {
      if (!name.startsWith(RANGE_COUNTER)) continue;
      const [, station = '', channel = '', hour = ''] = name.split(' ');
      if ((CHANNEL_NAMES as readonly string[]).includes(channel))
        ranges.push({ station, channel: channel as Channel, time: Number(hour) * HOUR_MS, count });
    }
    ranges.sort((left, right) => left.time - right.time || (left.channel < right.channel ? -1 : 1));
    const text = JSON.stringify(ranges);
    if (text === this.#rangeText) return Number.POSITIVE_INFINITY;
    const known = new Set(this.#ranges.map((fact) => JSON.stringify(fact)));
    const fresh = ranges.filter((fact) => !known.has(JSON.stringify(fact)));
    this.#rangeText = text;
    this.#ranges = ranges;
    this.#rangesStale = true;
    return Math.min(Number.POSITIVE_INFINITY, ...fresh.map(({ time }) => time));
  }

  get ranges(): readonly RangeFact[] {
    return this.#ranges;
  }

  /** Facts about the clock of one station. */
  clocksOf(station: string): StationFact[] {
    const facts: StationFact[] = [];
    for (const { station: of, noticed, claimed } of this.#clocks.values()) {
      if (of !== station || noticed === 0) continue;
      facts.push({
        kind: 'clock',
        station,
        time: noticed,
        offsetMs: claimed - noticed,
        detail: `the clock of the node is ${spanInWords(claimed - noticed)} ${claimed > noticed ? 'ahead' : 'behind'}: readings claimed ${new Date(claimed).toISOString()} when they came`,
      });
    }
    return facts;
  }

  flush({ states }: Pick<Store, 'states'>): void {
    if (this.#stale) states.put(KEY, packState(this.#clocks));
    if (this.#rangesStale) states.put(RANGES_KEY, Buffer.from(this.#rangeText));
    this.#stale = false;
    this.#rangesStale = false;
  }
}
