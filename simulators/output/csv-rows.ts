import { Buffer } from 'node:buffer';
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

/** How a column of some frames is written. */
interface Cell {
  readonly column: Float64Array | undefined;
  /** Texts that the values point into, or null where values are numbers. */
  readonly texts: readonly Buffer[] | null;
  readonly factor: number;
  readonly decimals: number;
}

/** Writes rows; keeps the current hour's date text and each station's columns, so that a row costs little. */
export class CsvRows {
  readonly #layout: CsvLayout;
  readonly #out: DecimalWriter;
  readonly #plans = new WeakMap<Frames, { readonly station: Buffer; readonly cells: readonly Cell[] }>();
  readonly #end: Buffer;
  #hour = Number.NaN;
  #date: Buffer = Buffer.alloc(0);
  #offset: Buffer = Buffer.alloc(0);

  constructor(layout: CsvLayout, out: DecimalWriter) {
    this.#layout = layout;
    this.#out = out;
    this.#end = Buffer.from(layout.lineEnd);
  }

  /** One row: `row` of the frames, stamped `timeMs`. Absent values are empty cells. */
  row(frames: Frames, row: number, timeMs: number): void {
    const out = this.#out;
    const { station, cells } = this.#plan(frames);
    this.#time(timeMs);
    out.bytes(station);
    for (const { column, texts, factor, decimals } of cells) {
      out.byte(44);
      if (column === undefined) continue;
      const value = column[row]!;
      if (Number.isNaN(value)) continue;
      if (texts) out.bytes(texts[value]!);
      else out.decimal(value * factor, decimals);
    }
    out.bytes(this.#end);
  }

  #plan(frames: Frames): { readonly station: Buffer; readonly cells: readonly Cell[] } {
    const known = this.#plans.get(frames);
    if (known) return known;
    const { channels, kilopascal } = this.#layout;
    const cells = channels.map((channel) => {
      const decimals = DECIMALS[channel] ?? 2;
      const scaled = kilopascal.includes(channel);
      return {
        column: frames.columns[channel],
        texts: channel === 'powder/id' ? frames.strings.map((text) => Buffer.from(text)) : null,
        factor: scaled ? 100 : 1,
        decimals: scaled ? decimals - 2 : decimals,
      };
    });
    const plan = { station: Buffer.from(`,${frames.station}`), cells };
    this.#plans.set(frames, plan);
    return plan;
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
      this.#date = Buffer.from(text.slice(0, 14));
      this.#offset = Buffer.from(text.slice(19));
    }
    const within = timeMs - hour * 3_600_000;
    const minute = Math.floor(within / 60_000);
    const second = Math.floor((within - minute * 60_000) / 1000);
    const rest = within - minute * 60_000 - second * 1000;
    out.bytes(this.#date);
    out.whole(minute, 2);
    out.byte(58);
    out.whole(second, 2);
    if (rest > 0) {
      out.byte(46);
      out.whole(rest, 3);
    }
    out.bytes(this.#offset);
  }
}
