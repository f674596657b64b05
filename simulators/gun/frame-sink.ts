import type { Channel } from '../../collector/contract/channels.ts';
import type { Frames } from '../../collector/contract/frames.ts';

/** Collects the readings of one station for a day as columns; grows by doubling. */
export class FrameSink {
  readonly #station: string;
  readonly #channels: readonly Channel[];
  #times = new Float64Array(1024);
  #columns: Float64Array[];
  length = 0;

  constructor(station: string, channels: readonly Channel[]) {
    this.#station = station;
    this.#channels = channels;
    this.#columns = channels.map(() => new Float64Array(1024));
  }

  /** Opens a row, all channels absent. A row that is not later than the last one moves to just after it. */
  open(timeMs: number): void {
    const row = this.length++;
    if (row === this.#times.length) {
      const grow = (old: Float64Array): Float64Array<ArrayBuffer> => {
        const wide = new Float64Array(old.length * 2);
        wide.set(old);
        return wide;
      };
      this.#times = grow(this.#times);
      this.#columns = this.#columns.map(grow);
    }
    this.#times[row] = row > 0 && timeMs <= this.#times[row - 1]! ? this.#times[row - 1]! + 1 : timeMs;
    for (const column of this.#columns) column[row] = Number.NaN;
  }

  /** Writes a value into the open row; `index` is the channel's place in the station's list. */
  set(index: number, value: number): void {
    this.#columns[index]![this.length - 1] = value;
  }

  get lastTime(): number {
    return this.length === 0 ? Number.NEGATIVE_INFINITY : this.#times[this.length - 1]!;
  }

  /** All rows so far; the sink starts anew. */
  take(strings: readonly string[]): Frames {
    const columns: Partial<Record<Channel, Float64Array>> = {};
    for (const [index, channel] of this.#channels.entries())
      columns[channel] = this.#columns[index]!.slice(0, this.length);
    const times = this.#times.slice(0, this.length);
    this.length = 0;
    return { station: this.#station, times, columns, strings };
  }
}
