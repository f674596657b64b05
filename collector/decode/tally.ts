import { type Channel, counted, printable } from '../contract/index.ts';
import { REASONS, type Reason } from './reasons.ts';

export interface ReasonCount {
  readonly reason: Reason;
  count: number;
  /** Line of the first one; the header is line 1. */
  firstLine: number;
}

/** What became of one file of readings. */
export interface FileReport {
  /** As named by the caller. */
  readonly file: string;
  /** Rows below the header, without blank lines. */
  readonly rows: number;
  /** Rows and cells that could not be used, by reason, in the order in which they were first met. */
  readonly unusable: readonly ReasonCount[];
  /** Readings that were there already with the same value. */
  readonly repeated: number;
  /** Readings that were there already with another value; the first stays. */
  readonly conflicting: number;
  readonly firstConflictLine: number | null;
  /** Columns that are no channel, as the header names them. */
  readonly ignoredColumns: readonly string[];
}

/** A row or cell that cannot be used. */
export interface RowRefusal {
  readonly line: number;
  readonly reason: Reason;
  /** Of a cell; null for a whole row. */
  readonly channel: Channel | null;
}

/** Counts what happens to one file while it is read. */
export class Tally {
  readonly file: string;
  readonly ignoredColumns: string[] = [];
  rows = 0;
  /** Rows that brought at least one reading. */
  usableRows = 0;
  repeated = 0;
  conflicting = 0;
  firstConflictLine: number | null = null;
  private readonly counts = new Map<Reason, ReasonCount>();

  private readonly onRefusal: ((refusal: RowRefusal) => void) | null;

  /** @param onRefusal told of each refusal, for whoever shows them line by line */
  constructor(file: string, onRefusal: ((refusal: RowRefusal) => void) | null = null) {
    this.file = file;
    this.onRefusal = onRefusal;
  }

  unusable(reason: Reason, line: number, channel: Channel | null = null): void {
    this.onRefusal?.({ line, reason, channel });
    const known = this.counts.get(reason);
    if (known === undefined) {
      this.counts.set(reason, { reason, count: 1, firstLine: line });
      return;
    }
    known.count++;
    known.firstLine = Math.min(known.firstLine, line);
  }

  conflict(line: number): void {
    this.conflicting++;
    this.firstConflictLine = Math.min(this.firstConflictLine ?? line, line);
  }

  report(): FileReport {
    const { file, rows, repeated, conflicting, firstConflictLine, ignoredColumns } = this;
    const unusable = [...this.counts.values()];
    return { file, rows, unusable, repeated, conflicting, firstConflictLine, ignoredColumns };
  }
}

const COLUMNS_NAMED = 10;

/**
 * The one line that tells what became of a file.
 *
 * @example
 * const unusable = [{ reason: 'unknown-gun', count: 5, firstLine: 18 }];
 * const rest = { repeated: 0, conflicting: 0, firstConflictLine: null, ignoredColumns: [] };
 * summaryLine({ file: 'readings.csv', rows: 1200, unusable, ...rest });
 * // 'readings.csv: 1200 rows, 5 unusable (5 unknown gun, first on line 18)'
 */
export function summaryLine(report: FileReport): string {
  const total = report.unusable.reduce((sum, entry) => sum + entry.count, 0);
  const reasons = report.unusable.map((e) => `${e.count} ${REASONS[e.reason]}, first on line ${e.firstLine}`);
  let text = `${printable(report.file, 200)}: ${report.rows} rows, ${total} unusable`;
  if (reasons.length > 0) text += ` (${reasons.join('; ')})`;
  if (report.repeated > 0) text += `; ${counted(report.repeated, 'reading')} repeated and dropped`;
  if (report.conflicting > 0) {
    text += `; ${counted(report.conflicting, 'reading conflicts with an earlier one', 'readings conflict with earlier ones')}, first on line ${report.firstConflictLine}`;
  }
  if (report.ignoredColumns.length > 0) {
    const names = report.ignoredColumns.slice(0, COLUMNS_NAMED).map((name) => `"${printable(name)}"`);
    const more = report.ignoredColumns.length - names.length;
    text += `; columns ignored: ${names.join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
  }
  return text;
}
