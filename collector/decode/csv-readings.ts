import { AppError, printable } from '../contract/index.ts';
import { ByteNames } from './byte-names.ts';
import { readHeader } from './csv-header.ts';
import { splitRow } from './csv-row.ts';
import { fileError } from './file-fault.ts';
import { NamePool } from './name-pool.ts';
import { ReadingFacts } from './reading-facts.ts';
import { finishReadings, type ReadingsTable } from './readings-table.ts';
import { REASONS } from './reasons.ts';
import { RowParser } from './row-parser.ts';
import { RowSink } from './row-sink.ts';
import type { StationPlan } from './station-plan.ts';
import { type RowRefusal, Tally } from './tally.ts';

export interface CsvLimits {
  /** Bytes of one row; a longer one is counted as unusable. */
  readonly rowBytes: number;
  /** Bytes without any line end after which the file is given up. */
  readonly lineEndWithinBytes: number;
  /** Rows of all files together: what fits the memory. */
  readonly rows: number;
  /** Bytes of all files together, decompressed: what can be read in reasonable time. */
  readonly bytes: number;
  /** Rows with a quote that is never closed, after which the file is given up. */
  readonly openQuotes: number;
}

/** Source: own choice, because a row of all channels takes some 100 bytes here and 60 in memory: 20 million are a year of a hall. */
export const CSV_LIMITS: CsvLimits = {
  rowBytes: 65_536,
  lineEndWithinBytes: 16_777_216,
  rows: 20_000_000,
  bytes: 3_221_225_472,
  openQuotes: 100,
};

const LF = 10;
const NOTHING = Buffer.alloc(0);

/**
 * Reads the files of readings of one command, chunk by chunk, into columns by station. For each file: `beginFile`,
 * `push` for every chunk of its (decompressed) bytes, `endFile`; when all are read, `finish`.
 */
export class CsvReadings {
  private readonly limits: CsvLimits;
  private readonly stations: ByteNames;
  private readonly names = new NamePool();
  private readonly facts: ReadingFacts;
  private readonly sink: RowSink;
  private readonly tallies: Tally[] = [];
  private parser: RowParser | null = null;
  private held: Buffer = NOTHING;
  private skippedBytes = 0;
  private openQuotes = 0;
  private bytes = 0;
  private rowsBefore = 0;
  private readonly onRefusal: ((refusal: RowRefusal) => void) | null;

  /** @param onRefusal told of each row and cell that cannot be used */
  constructor(
    plans: ReadonlyMap<string, StationPlan>,
    limits: CsvLimits = CSV_LIMITS,
    onRefusal: ((refusal: RowRefusal) => void) | null = null,
  ) {
    this.limits = limits;
    this.onRefusal = onRefusal;
    this.stations = new ByteNames([...plans.keys()]);
    this.facts = new ReadingFacts([...plans.keys()]);
    this.sink = new RowSink([...plans.values()], this.facts, new Tally(''));
  }

  beginFile(name: string): void {
    this.rowsBefore += this.tallies.at(-1)?.rows ?? 0;
    this.tallies.push(new Tally(name, this.onRefusal));
    this.parser = null;
    this.held = NOTHING;
    this.skippedBytes = 0;
    this.openQuotes = 0;
  }

  /** @throws {AppError} READINGS_UNUSABLE: the file cannot be used */
  push(chunk: Buffer): void {
    this.bytes += chunk.length;
    if (this.bytes > this.limits.bytes) throw this.fault('size', `more than ${this.limits.bytes} bytes`, 'less');
    let fresh = chunk;
    if (this.skippedBytes > 0) {
      const end = chunk.indexOf(LF);
      this.skippedBytes += end < 0 ? chunk.length : end;
      if (this.skippedBytes > this.limits.lineEndWithinBytes) throw this.noLineEnd(this.parser?.line);
      if (end < 0) return;
      this.skippedBytes = 0;
      fresh = chunk.subarray(end + 1);
    }
    const bytes = this.held.length > 0 ? Buffer.concat([this.held, fresh]) : fresh;
    this.held = this.readRows(bytes);
    if (this.rowsBefore + this.tally.rows > this.limits.rows) {
      throw this.fault('rows', `more than ${this.limits.rows} rows`, 'fewer: analyse a shorter span');
    }
  }

  /** @throws {AppError} READINGS_UNUSABLE: the file is empty, or no row of it can be used */
  endFile(): void {
    if (this.held.length > 0) {
      let bytes: Buffer = Buffer.concat([this.held, Buffer.of(LF)]);
      // What is left after the last line end can only be a row whose quote is still open.
      while (bytes.length > 0) bytes = this.readRows(bytes, true);
    }
    this.held = NOTHING;
    if (this.parser === null) throw this.fault(undefined, 'an empty file', 'a header time,gun,<channel>,… and rows');
    if (this.tally.usableRows === 0) throw this.nothingUsable(this.tally);
  }

  /**
   * What all files brought.
   *
   * @throws {AppError} READINGS_UNUSABLE: nothing of a file is within 5 years of the files' median time
   */
  finish(): ReadingsTable {
    const table = finishReadings(this.sink.rows, this.names.names, this.tallies, this.facts);
    const empty = this.tallies.find((tally) => tally.usableRows === 0);
    if (empty !== undefined) throw this.nothingUsable(empty);
    return table;
  }

  private get tally(): Tally {
    const tally = this.tallies.at(-1);
    if (tally === undefined) throw new AppError('INTERNAL', 'readings were pushed before any file began');
    return tally;
  }

  /** Reads all rows that are whole; returns what is left. */
  private readRows(bytes: Buffer, last = false): Buffer {
    const end = bytes.lastIndexOf(LF) + 1;
    let at = this.parser === null ? this.readHeaderRow(bytes, end, last) : 0;
    while (this.parser !== null && at < end) {
      at = this.parser.read(bytes, at, end);
      if (at >= end || (!last && bytes.length - at <= this.limits.rowBytes)) break;
      // The quote that is open here is never closed: that row is lost, the next line begins a row.
      if (++this.openQuotes > this.limits.openQuotes) {
        throw this.fault('quotes', `${this.openQuotes} rows with a quote that is never closed`, 'RFC 4180 text');
      }
      const next = bytes.indexOf(LF, at) + 1;
      this.parser.skipRow(next - at > this.limits.rowBytes ? 'line-too-long' : 'ragged');
      at = next;
    }
    if (this.parser !== null && at >= end && bytes.length - at > this.limits.rowBytes) {
      this.parser.skipRow('line-too-long');
      this.skippedBytes = bytes.length - at;
      return NOTHING;
    }
    return at >= bytes.length ? NOTHING : Buffer.from(bytes.subarray(at));
  }

  /** Reads the header when it is there; returns where the rows begin. */
  private readHeaderRow(bytes: Buffer, end: number, last: boolean): number {
    let at = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0;
    if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) {
      throw this.fault(undefined, 'UTF-16 text', 'UTF-8');
    }
    let line = 1;
    for (; at < end && (bytes[at] === LF || (bytes[at] === 13 && bytes[at + 1] === LF)); line++) {
      at += bytes[at] === LF ? 1 : 2;
    }
    const row = at < end ? splitRow(bytes, at, end) : null;
    if (row === null) {
      if (bytes.length - at > this.limits.rowBytes) throw this.noLineEnd(line);
      if (last && at < end) throw this.fault('header', 'a quote that is never closed', 'RFC 4180 text', line);
      return last ? bytes.length : 0;
    }
    const result = readHeader(row.fields);
    if (!result.ok) throw this.fault(result.field, result.found, result.expected, line);
    const { sink, tally, stations, names } = this;
    sink.open(result.header, tally);
    tally.ignoredColumns.push(...result.header.ignored.map((name) => printable(name)));
    const mostRowBytes = this.limits.rowBytes;
    this.parser = new RowParser(result.header, line + row.lines - 1, { sink, tally, stations, names, mostRowBytes });
    return row.next;
  }

  private fault(field: string | undefined, found: string, expected: string, line?: number): AppError {
    return fileError('READINGS_UNUSABLE', { file: this.tally.file, line, field, found, expected });
  }

  private noLineEnd(line?: number): AppError {
    return this.fault(undefined, 'no line end for too long', 'lines of CSV', line);
  }

  private nothingUsable(tally: Tally): AppError {
    const { unusable } = tally.report();
    const first = [...unusable].sort((left, right) => left.firstLine - right.firstLine)[0];
    const why = unusable.map(({ reason, count }) => `${count} ${REASONS[reason]}`).join('; ');
    return fileError('READINGS_UNUSABLE', {
      file: tally.file,
      line: first?.firstLine ?? 1,
      field: 'rows',
      found: `no usable row among ${tally.rows}${why === '' ? '' : ` (${why})`}`,
      expected: 'a time, a gun of the plant file and a reading in at least one row',
    });
  }
}
