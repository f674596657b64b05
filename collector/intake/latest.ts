import { CHANNELS, type Channel, channelIndex } from '../contract/channels.ts';
import type { Frames, Pack } from '../contract/frames.ts';
import { Cadence } from './cadence.ts';

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

/** A report that is older when it comes was kept back and says nothing of how the node reports, ms. Source: own choice. */
const FRESH_MS = 60_000;
const TRIGGER = channelIndex('trigger');
const FLOW = channelIndex('conveying/flow');
/** Conveying air from which a gun without a trigger signal is taken to spray, m3/h. Source: own choice, what runs are cut at until a gun's own levels are learnt. */
const SPRAYING_NM3H = 0.5;

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
  readonly #cadence = new Cadence();

  /** Takes a committed pack. Of two readings for one time the first stays, as in the store. */
  take(pack: Pack, receivedAt: number): void {
    const { times, channels, values } = pack;
    let newest = this.newestTime;
    let before = newest;
    for (let index = 0; index < times.length; index++) {
      const time = times[index]!;
      const channel = channels[index]!;
      if (time > newest) {
        before = newest;
        newest = time;
      }
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
    // What was stored may come in one pack with what is new.
    if (receivedAt - times[0]! > FRESH_MS) this.#cadence.heardBefore(newest - before);
    if (receivedAt - newest <= FRESH_MS) this.#cadence.report(newest, this.#spraying());
  }

  /** Takes the newest stored readings, after a restart; they count as received when they were read. */
  restore(frames: Frames): void {
    const { times, columns, strings } = frames;
    const [trigger, flow] = [columns.trigger, columns['conveying/flow']];
    const triggered = trigger?.some((value) => !Number.isNaN(value)) ?? false;
    let spraying: boolean | null = null;
    for (const [row, time] of times.entries()) {
      const value = (triggered ? trigger : flow)?.[row] ?? Number.NaN;
      if (!Number.isNaN(value)) spraying = triggered ? value === 1 : value >= SPRAYING_NM3H;
      this.#cadence.report(time, spraying);
    }
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

  /** How the station reports at present, spraying or idle, ms; null before two gaps were seen. */
  reportingIntervalMs(): number | null {
    return this.#cadence.intervalMs();
  }

  #spraying(): boolean | null {
    if (this.#times[TRIGGER] !== Number.NEGATIVE_INFINITY) return this.#values[TRIGGER] === 1;
    return this.#times[FLOW] === Number.NEGATIVE_INFINITY ? null : this.#values[FLOW]! >= SPRAYING_NM3H;
  }
}
