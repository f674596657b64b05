import type { Channel } from '../../collector/contract/channels.ts';
import type { Frames } from '../../collector/contract/frames.ts';
import { isoWithOffset } from '../calendar/shop-day.ts';
import type { DecimalWriter } from './decimal-writer.ts';

/** How a logger writes its export. */
export interface CsvLayout {
  readonly channels: readonly Channel[];
  readonly time: 'iso' | 'unix';
  readonly timezone: string;
  /** Pressures in kPa instead of bar, for these channels. */
  readonly kilopascal: readonly Channel[];
  readonly lineEnd: '\n' | '\r\n';
  /** `gun` or `station`: what the id column is called. */
  readonly idColumn: 'gun' | 'station';
  readonly byteOrderMark: boolean;
}

const DECIMALS: Readonly<Partial<Record<Channel, number>>> = {
  'conveying/ripple': 3,
  'powder/output': 0,
  'supply/temperature': 1,
  'supply/dewpoint': 1,
  trigger: 0,
};

/** The header line of an export. */
export function csvHeader(layout: CsvLayout): string {
  const names = layout.channels.map((name) => (layout.kilopascal.includes(name) ? `${name} [kPa]` : name));
  return `${layout.byteOrderMark ? '\uFEFF' : ''}time,${layout.idColumn},${names.join(',')}${layout.lineEnd}`;
}

/** Writes rows of one station; keeps the current hour's date text, so that ISO times cost little. */
export class CsvRows {
  readonly #layout: CsvLayout;
  readonly #out: DecimalWriter;
  #hour = Number.NaN;
  #date = '';
  #offset = '';

  constructor(layout: CsvLayout, out: DecimalWriter) {
    this.#layout = layout;
    this.#out = out;
  }

  /** One row: `row` of the frames, stamped `timeMs`. Absent values are empty cells. */
  row(frames: Frames, row: number, timeMs: number): void {
    const out = this.#out;
    this.#time(timeMs);
    out.byte(44);
    out.text(frames.station);
    for (const channel of this.#layout.channels) {
      out.byte(44);
      const value = frames.columns[channel]?.[row];
      if (value === undefined || Number.isNaN(value)) continue;
      if (channel === 'powder/id') out.text(frames.strings[value]!);
      else if (this.#layout.kilopascal.includes(channel))
        out.decimal(value * 100, channel === 'conveying/ripple' ? 1 : 0);
      else out.decimal(value, DECIMALS[channel] ?? 2);
    }
    if (this.#layout.lineEnd === '\r\n') out.byte(13);
    out.byte(10);
  }

  #time(timeMs: number): void {
    const out = this.#out;
    if (this.#layout.time === 'unix') {
      const second = Math.floor(timeMs / 1000);
      out.whole(second, 1);
      const rest = timeMs - second * 1000;
      if (rest === 0) return;
      out.byte(46);
      out.whole(rest, 3);
      return;
    }
    const hour = Math.floor(timeMs / 3_600_000);
    if (hour !== this.#hour) {
      this.#hour = hour;
      const text = isoWithOffset(hour * 3_600_000, this.#layout.timezone);
      // Offsets of whole hours only change on the hour; the zones used here have no others.
      this.#date = text.slice(0, 14);
      this.#offset = text.slice(19);
    }
    const within = timeMs - hour * 3_600_000;
    const minute = Math.floor(within / 60_000);
    const second = Math.floor((within - minute * 60_000) / 1000);
    const rest = within - minute * 60_000 - second * 1000;
    out.text(this.#date);
    out.whole(minute, 2);
    out.byte(58);
    out.whole(second, 2);
    if (rest > 0) {
      out.byte(46);
      out.whole(rest, 3);
    }
    out.text(this.#offset);
  }
}
