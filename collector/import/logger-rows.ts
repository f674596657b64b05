import { TextDecoder } from 'node:util';
import { AppError, formatTime, LATEST_MS, NO_OFFSET, printable } from '../contract/index.ts';
import { splitRow } from '../decode/csv-row.ts';
import { fileError } from '../decode/file-fault.ts';
import type { Shown } from '../decode/mapped/local-time.ts';
import { readMappedValue } from '../decode/mapped/mapped-value.ts';
import { columnNames, plainHeading } from './column-names.ts';
import { compileDateFormat, readLoggerTime, type TimeRules } from './date-format.ts';
import type { ImportMapping } from './import-mapping.ts';
import { isMissingMark } from './missing-marks.ts';
import { numberText } from './number-text.ts';

/** Source: own choice, as for the contract's CSV. */
const MOST_ROW_BYTES = 65_536;
const [LF, NOTHING] = [10, Buffer.alloc(0)];

type Column = ImportMapping['columns'][number];

/** What is told of rows while they are read; lines as in the file, from 1. */
export interface ToldOfRows {
  /** Of each row's time, how often the clock showed it. */
  readonly onTime?: ((shown: Shown, line: number) => void) | undefined;
  /** Of each cell that holds a mark of a missing value. */
  readonly onMissing?: ((mark: string, line: number) => void) | undefined;
  /** Of each cell whose only point is taken for a mark of thousands, since the mapping has a decimal comma. */
  readonly onThousands?: ((cell: string, line: number) => void) | undefined;
}

/**
 * Rewrites a logger's CSV, as a mapping describes it, into the contract's, line by line: the reader of that then finds the same
 * faults on the same lines. One pass is for the columns of one gun, or for those without a gun of their own.
 */
export class LoggerRows {
  readonly #mapping: ImportMapping;
  readonly #gun: string | null;
  readonly #columns: readonly Column[];
  readonly #file: string;
  readonly #decoder: TextDecoder;
  readonly #time: TimeRules;
  readonly #delimiter: number;
  readonly #told: ToldOfRows;
  #held: Buffer = NOTHING;
  #line = 0;
  /** Headings of the file. */
  #width = 0;
  #places: { time: number; clock: number; gun: number; columns: number[] } | null = null;
  /** Of each gun: files may hold one gun's night after another's. */
  readonly #lastTimes = new Map<string, number>();

  /**
   * @param gun whose columns are wanted; null for those that name none
   */
  constructor(mapping: ImportMapping, gun: string | null, file: string, told: ToldOfRows = {}) {
    this.#mapping = mapping;
    this.#gun = gun;
    this.#columns = mapping.columns.filter((column) => (column.gun ?? null) === gun);
    this.#file = file;
    this.#decoder = new TextDecoder(mapping.encoding, { fatal: false });
    const { format, zone, as } = mapping.time;
    const compiled = format === undefined ? null : compileDateFormat(format);
    if (typeof compiled === 'string') throw new AppError('INTERNAL', `an unchecked date format: ${compiled}`);
    this.#time = { format: compiled, zone: zone ?? null, as: as ?? null };
    this.#delimiter = mapping.delimiter.charCodeAt(0);
    this.#told = told;
  }

  /** The guns that a mapping's columns name, one pass each; null for the columns without. */
  static passes(mapping: ImportMapping): (string | null)[] {
    return [...new Set(mapping.columns.map(({ gun }) => gun ?? null))];
  }

  /** @throws {AppError} READINGS_UNUSABLE: a column is missing, or this is no CSV */
  push(chunk: Buffer): Buffer {
    return this.#rewrite(Buffer.from(this.#decoder.decode(chunk, { stream: true })), false);
  }

  /** What is left. @throws {AppError} READINGS_UNUSABLE */
  end(): Buffer {
    const rest = this.#rewrite(Buffer.from(`${this.#decoder.decode()}\n`), true);
    if (this.#places === null)
      throw this.#fault(undefined, 'no line of headings', 'a line of headings and rows below it');
    return rest;
  }

  #rewrite(fresh: Buffer, last: boolean): Buffer {
    const bytes = this.#held.length > 0 ? Buffer.concat([this.#held, fresh]) : fresh;
    const end = bytes.lastIndexOf(LF) + 1;
    let at = 0;
    let text = '';
    while (at < end) {
      const skip = this.#line < this.#mapping.skipLines;
      const row = skip ? null : splitRow(bytes, at, end, this.#delimiter);
      const open = !skip && row === null && (last || bytes.length - at > MOST_ROW_BYTES);
      if (row === null && !skip && !open) break;
      // A quote that is never closed loses its line, no more.
      const next = row?.next ?? bytes.indexOf(LF, at) + 1;
      const lines = row?.lines ?? 1;
      this.#line += lines;
      text += row === null ? (skip ? '\n' : '?\n') : this.#row(row.fields, this.#line - lines + 1) + '\n'.repeat(lines);
      at = next;
    }
    this.#held = at < bytes.length ? Buffer.from(bytes.subarray(at)) : NOTHING;
    if (this.#held.length > 256 * MOST_ROW_BYTES)
      throw this.#fault(undefined, 'no line end for too long', 'lines of CSV');
    return Buffer.from(text);
  }

  #row(fields: readonly string[], line: number): string {
    if (fields.length === 1 && fields[0]!.trim() === '') return '';
    if (this.#places === null) return this.#header(fields);
    // More cells than headings: a decimal comma between commas, say, and whatever stands behind it is no longer below its heading.
    if (fields.length > this.#width && fields.slice(this.#width).some((cell) => cell.trim() !== '')) return '?';
    const { time, clock, gun, columns } = this.#places;
    const station = this.#gunCell(fields[gun]);
    const date = fields[time] ?? '';
    const text = clock < 0 ? date.trim() : `${date.trim()} ${(fields[clock] ?? '').trim()}`.trim();
    const cells = [this.#timeCell(line, text, station), station];
    for (const [index, place] of columns.entries())
      cells.push(this.#valueCell(fields[place], this.#columns[index]!, line));
    return cells.map(quote).join(',');
  }

  #header(headings: readonly string[]): string {
    const names = columnNames(headings);
    const find = (column: string): number => {
      const place = names.indexOf(column.trim());
      if (place >= 0) return place;
      const alike = names.filter((_, index) => plainHeading(headings[index]!) === column.trim());
      if (alike.length > 1)
        throw this.#fault(
          'headings',
          `${alike.length} columns "${printable(column)}"`,
          `the mapping to say which: ${printable(alike.join(' | '), 300)}`,
        );
      const known = printable(names.join(' | '), 300);
      throw this.#fault(
        'headings',
        `no column "${printable(column)}" among ${known}`,
        'the columns that the mapping names',
      );
    };
    const { time, gun } = this.#mapping;
    this.#width = names.length;
    this.#places = {
      time: find(time.column),
      clock: time.clock === undefined ? -1 : find(time.clock),
      gun: typeof gun === 'object' && this.#gun === null ? find(gun.column) : -1,
      columns: this.#columns.map(({ column }) => find(column)),
    };
    const channels = this.#columns.map(({ channel, unit }) => (unit === undefined ? channel : `${channel} [${unit}]`));
    return ['time', 'gun', ...channels].join(',');
  }

  #timeCell(line: number, text: string, station: string): string {
    const { ms, shown } = readLoggerTime(text, this.#time, this.#lastTimes.get(station) ?? Number.NEGATIVE_INFINITY);
    if (ms === NO_OFFSET) return '2000-01-01T00:00:00';
    if (!(ms >= 0 && ms <= LATEST_MS)) return '?';
    this.#lastTimes.set(station, ms);
    this.#told.onTime?.(shown, line);
    return formatTime(ms);
  }

  #gunCell(found: string | undefined): string {
    const { gun } = this.#mapping;
    if (this.#gun !== null) return this.#gun;
    if (typeof gun !== 'object') return gun ?? '';
    const name = (found ?? '').trim();
    if (gun.names === undefined) return name;
    return Object.hasOwn(gun.names, name) ? gun.names[name]! : `?${name}`;
  }

  #valueCell(found: string | undefined, column: Column, line: number): string {
    const text = (found ?? '').trim();
    if (text === '') return '';
    if (this.#mapping.absent.includes(text) || isMissingMark(text, column.channel)) {
      this.#told.onMissing?.(text, line);
      return '';
    }
    const value = readMappedValue(column.channel === 'powder/id' ? text : this.#number(text, line), column);
    if ('reason' in value) return '?';
    if ('vs' in value) return value.vs;
    return 'vb' in value ? String(Number(value.vb)) : String(value.v);
  }

  #number(cell: string, line: number): string {
    const { text, isTakenForThousands } = numberText(cell, this.#mapping.decimal);
    if (isTakenForThousands) this.#told.onThousands?.(cell, line);
    return text;
  }

  #fault(field: string | undefined, found: string, expected: string): AppError {
    return fileError('READINGS_UNUSABLE', { file: this.#file, line: this.#line, field, found, expected });
  }
}

function quote(cell: string): string {
  return /[",\r\n]|^\s|\s$/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}
