import { CHANNELS } from '../contract/channels.ts';
import { type Block, rowAt } from './block.ts';

/** Readings that came for a (channel, time) that had one, by channel index. */
export interface Repeats {
  readonly duplicates: Float64Array;
  readonly conflicts: Float64Array;
}

export function noRepeats(): Repeats {
  return { duplicates: new Float64Array(CHANNELS.length), conflicts: new Float64Array(CHANNELS.length) };
}

export function countRepeat(repeats: Repeats, channel: number, kept: number, came: number): void {
  const counts = kept === came ? repeats.duplicates : repeats.conflicts;
  counts[channel]!++;
}

export function totalRepeats({ duplicates, conflicts }: Repeats): number {
  let total = 0;
  for (const counts of [duplicates, conflicts]) for (const count of counts) total += count;
  return total;
}

/**
 * Readings that others of the same tail came before. Whether each is the same again or a conflict shows only beside
 * what is kept in the end, which may be older than the tail: so they are judged last.
 */
export class Latecomers {
  readonly #times: number[] = [];
  readonly #channels: number[] = [];
  readonly #values: number[] = [];
  #order: number[] | null = null;
  #next = 0;

  add(time: number, channel: number, value: number): void {
    this.#times.push(time);
    this.#channels.push(channel);
    this.#values.push(value);
  }

  /** Counts those up to the end of a block that holds what is kept; call it with blocks of ascending times. */
  judge(kept: Block, repeats: Repeats): void {
    this.#order ??= this.#times.map((_, i) => i).sort((left, right) => this.#times[left]! - this.#times[right]!);
    const end = kept.times[kept.rows - 1] ?? Number.NEGATIVE_INFINITY;
    for (; this.#next < this.#order.length; this.#next++) {
      const i = this.#order[this.#next] as number;
      const time = this.#times[i] as number;
      if (time > end) return;
      const channel = this.#channels[i] as number;
      const value = kept.columns[channel]?.[rowAt(kept.times, kept.rows, time)] as number;
      countRepeat(repeats, channel, value, this.#values[i] as number);
    }
  }
}
