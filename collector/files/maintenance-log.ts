import {
  ACTIONS,
  EARLIEST_MS,
  FOUND,
  type LogEntry,
  NO_OFFSET,
  type Plant,
  parseTime,
  quoted,
  SUBJECTS,
} from '../contract/index.ts';
import { splitRow } from '../decode/csv-row.ts';
import { fileError } from '../decode/file-fault.ts';
import { asText } from './file-access.ts';
import { readUnpacked } from './unpacked.ts';

/** Source: own choice, because decades of a big shop's changes take a few MB. */
const MOST_BYTES = 33_554_432;
/** Characters of a note, as `POST /api/log` takes them. */
const LONGEST_NOTE = 2000;
const EXPECTED = 'a maintenance log (CSV) with the header time,gun,part,action,found,note';
const REQUIRED = ['time', 'gun', 'part', 'action'] as const;
/** `taken_back` is of our own export: an entry with a time there counts no more. */
const COLUMNS = [...REQUIRED, 'found', 'note', 'taken_back'] as const;
type ColumnName = (typeof COLUMNS)[number];

/** What a maintenance log holds: entries by time, and the columns that are none of the log's. */
export interface ParsedLog {
  readonly entries: LogEntry[];
  /** Rows that had been taken back: none of the entries. */
  readonly takenBack: number;
  readonly ignoredColumns: string[];
}

/**
 * The maintenance log from its bytes. The log is short, and a lost change is worse than a stop: one unusable row
 * refuses it whole.
 *
 * @param file name for messages
 * @throws {AppError} LOG_UNUSABLE, one line: file, line, field, found, expected
 */
export function parseLog(bytes: Buffer, plant: Plant, file = 'log.csv'): ParsedLog {
  asText(bytes, file, 'LOG_UNUSABLE', EXPECTED);
  const hasMark = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf;
  const text = Buffer.concat([hasMark ? bytes.subarray(3) : bytes, Buffer.from('\n')]);
  const guns = new Set(plant.guns.map(({ id }) => id));
  const points = new Set(plant.air.map(({ id }) => id));
  const entries: LogEntry[] = [];
  const ignoredColumns: string[] = [];
  let takenBack = 0;
  let header: (ColumnName | null)[] | null = null;
  let line = 1;
  for (let at = 0; at < text.length; ) {
    const row = splitRow(text, at, text.length);
    if (row === null) {
      const found = 'a quote that is never closed';
      throw fileError('LOG_UNUSABLE', { file, line, field: 'row', found, expected: 'RFC 4180 text' });
    }
    if (row.fields.length > 1 || row.fields[0] !== '') {
      if (header === null) header = readLogHeader(row.fields, file, line, ignoredColumns);
      else {
        const entry = readEntry(row.fields, header, { guns, points }, file, line);
        if ((row.fields[header.indexOf('taken_back')] ?? '').trim() === '') entries.push(entry);
        else takenBack++;
      }
    }
    at = row.next;
    line += row.lines;
  }
  if (header === null) throw fileError('LOG_UNUSABLE', { file, found: 'an empty file', expected: EXPECTED });
  // Stable: what was logged at the same time keeps its order.
  entries.sort((left, right) => left.time - right.time);
  return { entries, takenBack, ignoredColumns };
}

/** Reads a maintenance log, plain or gzip. @throws {AppError} LOG_UNUSABLE */
export async function readLog(file: string, plant: Plant): Promise<ParsedLog> {
  const chunks: Buffer[] = [];
  let length = 0;
  await readUnpacked(file, 'LOG_UNUSABLE', (chunk) => {
    length += chunk.length;
    if (length > MOST_BYTES) {
      throw fileError('LOG_UNUSABLE', { file, found: `more than ${MOST_BYTES} bytes`, expected: EXPECTED });
    }
    chunks.push(chunk);
  });
  return parseLog(Buffer.concat(chunks), plant, file);
}

function readLogHeader(
  fields: readonly string[],
  file: string,
  line: number,
  ignored: string[],
): (ColumnName | null)[] {
  const names = fields.map((field) => field.trim());
  const columns = names.map((name) => COLUMNS.find((column) => column === name) ?? null);
  for (const column of COLUMNS) {
    const count = columns.filter((name) => name === column).length;
    if (count > 1) {
      throw fileError('LOG_UNUSABLE', { file, line, field: column, found: 'it twice', expected: 'each column once' });
    }
  }
  const missing = REQUIRED.find((column) => !columns.includes(column));
  if (missing !== undefined) {
    const found = `no such column in ${quoted(fields.join(','))}`;
    throw fileError('LOG_UNUSABLE', { file, line, field: missing, found, expected: EXPECTED });
  }
  ignored.push(...names.filter((_, index) => columns[index] === null));
  return columns;
}

function readEntry(
  fields: readonly string[],
  header: readonly (ColumnName | null)[],
  { guns, points }: { readonly guns: ReadonlySet<string>; readonly points: ReadonlySet<string> },
  file: string,
  line: number,
): LogEntry {
  const refuse = (field: string, found: string, expected: string) =>
    fileError('LOG_UNUSABLE', { file, line, field, found, expected });
  if (fields.length !== header.length) {
    throw refuse('row', `${fields.length} fields`, `${header.length} as in the header`);
  }
  const cell = (column: ColumnName): string => (fields[header.indexOf(column)] ?? '').trim();
  const oneOf = <T extends string>(column: ColumnName, options: readonly T[]): T => {
    const option = options.find((name) => name === cell(column));
    if (option === undefined) throw refuse(column, quoted(cell(column)), `one of ${options.join(' ')}`);
    return option;
  };
  const time = parseTime(cell('time'));
  if (!Number.isFinite(time) || time < EARLIEST_MS) {
    const expected = 'ISO 8601 with offset or Unix seconds, not before 2000';
    throw refuse('time', `${quoted(cell('time'))}${time === NO_OFFSET ? ', which has no offset' : ''}`, expected);
  }
  const gun = cell('gun');
  const part = oneOf('part', SUBJECTS);
  // A plant-air point has sensors that can be exchanged, and no parts.
  if (!guns.has(gun) && !(points.has(gun) && part.startsWith('sensor:')))
    throw refuse('gun', quoted(gun), 'the id of a gun of the plant file, or of an air point for a sensor');
  const action = oneOf('action', ACTIONS);
  const found = cell('found') === '' ? null : oneOf('found', FOUND);
  const note = cell('note');
  if (note.length > LONGEST_NOTE) throw refuse('note', `${note.length} characters`, `at most ${LONGEST_NOTE}`);
  return { time, gun, part, action, found, note };
}
