import { CHANNELS, type Channel } from '../contract/channels.ts';
import type { Frames, Pack } from '../contract/frames.ts';

/** The newest reading of one channel of a station. */
export interface LatestReading {
  readonly channel: Channel;
  /** Epoch ms, when it was read. */
  readonly time: number;
  /** Receiver's clock, epoch ms. */
  readonly receivedAt: number;
  /** Canonical unit; a truth value for `trigger`, a text for `powder/id`. */
  readonly value: number | boolean | string;
}

/** Arrivals that the reporting interval is the median of. Source: own choice, because a median of fifteen ignores seven odd ones. */
const ARRIVALS = 15;

/** What is known of one station's newest readings. Times are epoch ms, `-Infinity` where nothing came. */
export class StationLatest {
  newestTime = Number.NEGATIVE_INFINITY;
  /** Receiver's clock when the newest reading, and anything at all, came. */
  newestReceivedAt = Number.NEGATIVE_INFINITY;
  heardAt = Number.NEGATIVE_INFINITY;
  readonly #times = new Float64Array(CHANNELS.length).fill(Number.NEGATIVE_INFINITY);
  readonly #received = new Float64Array(CHANNELS.length);
  readonly #values = new Float64Array(CHANNELS.length);
  #powderId = '';
  /** Ring of the receiver's clock at the latest arrivals of newer readings. */
  readonly #arrivals = new Float64Array(ARRIVALS);
  #arrived = 0;

  /** Takes a committed pack. Of two readings for one time the first stays, as in the store. */
  take(pack: Pack, receivedAt: number): void {
    const { times, channels, values } = pack;
    let newest = this.newestTime;
    for (let index = 0; index < times.length; index++) {
      const time = times[index]!;
      const channel = channels[index]!;
      if (time > newest) newest = time;
      if (!(time > this.#times[channel]!)) continue;
      this.#times[channel] = time;
      this.#received[channel] = receivedAt;
      this.#values[channel] = values[index]!;
      if (CHANNELS[channel]!.kind === 'string') this.#powderId = pack.strings[values[index]!] ?? '';
    }
    if (times.length > 0) this.heardAt = receivedAt;
    if (newest === this.newestTime) return;
    this.newestTime = newest;
    this.newestReceivedAt = receivedAt;
    this.#arrivals[this.#arrived++ % ARRIVALS] = receivedAt;
  }

  /** Takes the newest stored readings, after a restart; they count as received when they were read. */
  restore(frames: Frames): void {
    const { times, columns, strings } = frames;
    for (const [channel, { name, kind }] of CHANNELS.entries()) {
      const column = columns[name];
      if (column === undefined) continue;
      let row = column.length - 1;
      while (row >= 0 && Number.isNaN(column[row])) row--;
      const time = times[row];
      if (time === undefined || !(time > this.#times[channel]!)) continue;
      this.#times[channel] = time;
      this.#received[channel] = time;
      this.#values[channel] = column[row]!;
      if (kind === 'string') this.#powderId = strings[column[row]!] ?? '';
      if (time > this.newestTime) {
        this.newestTime = time;
        this.newestReceivedAt = time;
      }
    }
  }

  readings(): LatestReading[] {
    const result: LatestReading[] = [];
    for (const [index, { name, kind }] of CHANNELS.entries()) {
      const time = this.#times[index]!;
      if (time === Number.NEGATIVE_INFINITY) continue;
      const number = this.#values[index]!;
      const value = kind === 'string' ? this.#powderId : kind === 'boolean' ? number !== 0 : number;
      result.push({ channel: name, time, receivedAt: this.#received[index]!, value });
    }
    return result;
  }

  /** Median time between the latest arrivals of newer readings, ms; null before the third. */
  reportingIntervalMs(): number | null {
    const count = Math.min(this.#arrived, ARRIVALS);
    if (count < 3) return null;
    const gaps: number[] = [];
    for (let back = 1; back < count; back++) {
      const later = this.#arrivals[(this.#arrived - back) % ARRIVALS]!;
      const earlier = this.#arrivals[(this.#arrived - back - 1) % ARRIVALS]!;
      gaps.push(later - earlier);
    }
    gaps.sort((left, right) => left - right);
    const middle = gaps.length >> 1;
    return gaps.length % 2 === 1 ? gaps[middle]! : (gaps[middle - 1]! + gaps[middle]!) / 2;
  }
}
