import { EARLIEST_MS, formatTime, LATEST_MS } from '../contract/index.ts';
import { PackColumns } from './pack-columns.ts';
import type { Reason } from './reasons.ts';

/** Readings of a pack apart by what their times say of the clock that gave them. */
export class ColumnsByTime {
  kept = new PackColumns();
  /** Too far ahead of the receiver's clock. */
  ahead: PackColumns | null = null;
  /** Before 2000, and those ahead that were said relative to now, as if their sender counted from 1970. */
  early: PackColumns | null = null;
  readonly #refuse: (reason: Reason, detail: string) => void;
  #receivedAt = 0;
  #aheadAfter = 0;
  /** Kept readings that were said to be of a time from now. */
  #fromNow = 0;

  constructor(refuse: (reason: Reason, detail: string) => void) {
    this.#refuse = refuse;
  }

  /** Begins the next pack; times are epoch ms. */
  begin(receivedAt: number, aheadMs: number): void {
    this.kept = new PackColumns();
    this.ahead = null;
    this.early = null;
    this.#receivedAt = receivedAt;
    this.#aheadAfter = receivedAt + aheadMs;
    this.#fromNow = 0;
  }

  /** Every kept reading was said to be of a time from now, and there are some. */
  get allFromNow(): boolean {
    return this.#fromNow > 0 && this.#fromNow === this.kept.times.length;
  }

  /** Whether a time is one that the pack keeps. */
  keeps(ms: number): boolean {
    return ms >= EARLIEST_MS && ms <= LATEST_MS && ms <= this.#aheadAfter;
  }

  /** @param relative said relative to now (RFC 8428, section 4.5.3) */
  take(ms: number, relative: boolean, channel: number, value: number | string): void {
    if (ms < EARLIEST_MS) {
      this.#refuse('before-2000', `found ${timeText(ms)}, expected a time from 2000 on`);
      this.early ??= new PackColumns();
      this.#put(this.early, channel, value, ms);
    } else if (ms > LATEST_MS) this.#refuse('time-unreadable', `found ${ms / 1000} s, expected Unix seconds`);
    else if (ms > this.#aheadAfter) {
      this.#refuse('ahead-of-clock', `found ${timeText(ms)}`);
      this.ahead ??= new PackColumns();
      this.#put(this.ahead, channel, value, ms);
      // Seconds since 1970 by a clock that began there look like seconds from now.
      if (relative) {
        this.early ??= new PackColumns();
        this.#put(this.early, channel, value, ms - this.#receivedAt);
      }
    } else {
      if (relative && ms > this.#receivedAt) this.#fromNow++;
      this.#put(this.kept, channel, value, ms);
    }
  }

  #put(columns: PackColumns, channel: number, value: number | string, ms: number): void {
    if (typeof value === 'number') columns.add(ms, channel, value);
    else if (!columns.addName(ms, channel, value)) this.#refuse('unusable-name', `found one powder too many in a pack`);
  }
}

function timeText(ms: number): string {
  return Math.abs(ms) <= LATEST_MS ? formatTime(ms) : `${ms / 1000} s`;
}
