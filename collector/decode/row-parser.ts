import { parseTime, UNREADABLE } from '../contract/index.ts';
import { type ByteNames, HASH_SEED, hashByte } from './byte-names.ts';
import type { ColumnKind, Header } from './csv-header.ts';
import { splitRow } from './csv-row.ts';
import type { NamePool } from './name-pool.ts';
import { CELL, type RowSink } from './row-sink.ts';
import type { Tally } from './tally.ts';
import { isEnd, TimeBytes } from './time-bytes.ts';

const [LF, CR, QUOTE, COMMA, MINUS, POINT] = [10, 13, 34, 44, 45, 46] as const;
const KIND: Readonly<Record<ColumnKind, number>> = { ignored: 0, time: 1, station: 2, number: 3, name: 4, trigger: 5 };
/** Digits that a double holds exactly. Source: IEEE 754-2019, 53 bits of significand. */
const EXACT_DIGITS = CELL.mostDecimals;
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;

/** Reads the rows of one file from bytes: no strings are made of what is spelled in the usual ways. */
export class RowParser {
  /** Line that the last row read began on. */
  line: number;
  private readonly width: number;
  private readonly kinds: Uint8Array;
  private readonly sink: RowSink;
  private readonly tally: Tally;
  private readonly stations: ByteNames;
  private readonly names: NamePool;
  private readonly mostRowBytes: number;
  private readonly time = new TimeBytes();
  private rowTime = UNREADABLE;
  private rowStation = -1;

  constructor(
    header: Header,
    headerLines: number,
    tools: { sink: RowSink; tally: Tally; stations: ByteNames; names: NamePool; mostRowBytes: number },
  ) {
    this.line = headerLines;
    this.width = header.columns.length;
    this.kinds = Uint8Array.from(header.columns, (column) => KIND[column.kind]);
    this.sink = tools.sink;
    this.tally = tools.tally;
    this.stations = tools.stations;
    this.names = tools.names;
    this.mostRowBytes = tools.mostRowBytes;
  }

  /**
   * Reads all whole rows in [start, end).
   *
   * @param end just behind a line end
   * @returns `end`, or where a row begins whose quoted field is still open at `end`
   */
  read(bytes: Buffer, start: number, end: number): number {
    const { kinds, width, sink } = this;
    const { marks, mantissas } = sink;
    let at = start;
    while (at < end) {
      const rowStart = at;
      this.line++;
      let byte = bytes[at] as number;
      if (byte === LF || (byte === CR && bytes[at + 1] === LF)) {
        at += byte === LF ? 1 : 2;
        continue;
      }
      let field = 0;
      for (;;) {
        byte = bytes[at] as number;
        if (byte === QUOTE) break;
        const kind = field < width ? (kinds[field] as number) : 0;
        if (kind === 3) {
          let to = at;
          if (byte === MINUS) byte = bytes[++to] as number;
          const first = to;
          let mantissa = 0;
          while (byte >= 48 && byte <= 57) {
            mantissa = mantissa * 10 + (byte - 48);
            byte = bytes[++to] as number;
          }
          let digits = to - first;
          let places = 0;
          if (byte === POINT) {
            const from = ++to;
            byte = bytes[to] as number;
            while (byte >= 48 && byte <= 57) {
              mantissa = mantissa * 10 + (byte - 48);
              byte = bytes[++to] as number;
            }
            places = to - from;
            digits += places;
          }
          const ends = byte === COMMA || byte === LF || (byte === CR && bytes[to + 1] === LF);
          if (ends && digits > 0 && digits <= EXACT_DIGITS) {
            marks[field] = places;
            mantissas[field] = bytes[at] === MINUS ? -mantissa : mantissa;
            at = to;
          } else if (ends && to === at) marks[field] = CELL.absent;
          else at = this.readText(bytes, at, field, kind);
        } else at = this.readOther(bytes, at, field, kind);
        field++;
        byte = bytes[at] as number;
        if (byte !== COMMA) break;
        at++;
      }
      if (byte === QUOTE) {
        at = this.readQuoted(bytes, rowStart, end);
        if (at < 0) {
          this.line--;
          return rowStart;
        }
        continue;
      }
      at += byte === CR ? 2 : 1;
      this.finishRow(field, at - rowStart);
    }
    return end;
  }

  /** Counts a row that is no row: too long, or its quote is never closed. */
  skipRow(reason: 'line-too-long' | 'ragged'): void {
    this.line++;
    this.tally.rows++;
    this.tally.unusable(reason, this.line);
  }

  private finishRow(fields: number, byteLength: number): void {
    this.tally.rows++;
    if (byteLength > this.mostRowBytes) this.tally.unusable('line-too-long', this.line);
    else if (fields !== this.width) this.tally.unusable('ragged', this.line);
    else this.sink.take(this.rowTime, this.rowStation, this.line);
  }

  /** A cell that is no plain number; returns where it ends. */
  private readOther(bytes: Buffer, at: number, field: number, kind: number): number {
    if (kind === KIND.time) {
      const to = this.time.read(bytes, at);
      if (to < 0) return this.readText(bytes, at, field, kind);
      this.rowTime = this.time.ms;
      return to;
    }
    if (kind === KIND.trigger) {
      const { marks, mantissas } = this.sink;
      const digit = (bytes[at] as number) - 48;
      if ((digit === 0 || digit === 1) && isEnd(bytes, at + 1)) {
        marks[field] = 0;
        mantissas[field] = digit;
        return at + 1;
      }
      if (!isEnd(bytes, at)) return this.readText(bytes, at, field, kind);
      marks[field] = CELL.absent;
      return at;
    }
    let to = at;
    let hash = HASH_SEED;
    for (let byte = bytes[to] as number; byte !== COMMA && byte !== LF; byte = bytes[++to] as number) {
      if (byte === CR && bytes[to + 1] === LF) break;
      hash = hashByte(hash, byte);
    }
    if (kind === KIND.station) this.rowStation = this.stations.find(bytes, at, to, hash);
    else if (kind === KIND.name) this.setName(field, to === at ? CELL_EMPTY : this.names.find(bytes, at, to, hash));
    return to;
  }

  /** A cell in an unusual spelling, up to its end. */
  private readText(bytes: Buffer, at: number, field: number, kind: number): number {
    let to = at;
    for (let byte = bytes[to] as number; byte !== COMMA && byte !== LF; byte = bytes[++to] as number) {
      if (byte === CR && bytes[to + 1] === LF) break;
    }
    // A longer cell is no number or time, whatever it holds.
    this.setText(to - at > 100 ? '?' : bytes.toString('utf8', at, to), field, kind);
    return to;
  }

  private readQuoted(bytes: Buffer, start: number, end: number): number {
    const row = splitRow(bytes, start, end);
    // A row that is too long counts as one whose quote is never closed, however the chunks fell.
    if (row === null || row.next - start > this.mostRowBytes) return -1;
    for (const [field, text] of row.fields.entries()) {
      if (field < this.width) this.setText(text, field, this.kinds[field] as number);
    }
    this.finishRow(row.fields.length, row.next - start);
    this.line += row.lines - 1;
    return row.next;
  }

  private setText(text: string, field: number, kind: number): void {
    const { marks, mantissas } = this.sink;
    if (kind === KIND.time) this.rowTime = parseTime(text);
    else if (kind === KIND.station) {
      const bytes = Buffer.from(text, 'utf8');
      let hash = HASH_SEED;
      for (const byte of bytes) hash = hashByte(hash, byte);
      this.rowStation = this.stations.find(bytes, 0, bytes.length, hash);
    } else if (kind === KIND.name) this.setName(field, text === '' ? CELL_EMPTY : this.names.add(text));
    else if (kind === KIND.number || kind === KIND.trigger) {
      const trimmed = text.trim();
      const value = NUMBER.test(trimmed) ? Number(trimmed) : Number.NaN;
      const usable = kind === KIND.number ? !Number.isNaN(value) : value === 0 || value === 1;
      const bad = kind === KIND.number ? CELL.notANumber : CELL.notATrigger;
      marks[field] = trimmed === '' ? CELL.absent : usable ? CELL.number : bad;
      mantissas[field] = value;
    }
  }

  private setName(field: number, name: number): void {
    const { marks, mantissas } = this.sink;
    marks[field] = name === CELL_EMPTY ? CELL.absent : name < 0 ? CELL.unusableName : 0;
    mantissas[field] = name;
  }
}

const CELL_EMPTY = -2;
