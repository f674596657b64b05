import { AppError } from '../contract/errors.ts';
import { formatTime } from '../contract/time.ts';
import { damageOf } from './extents.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';

/** What is said of readings of which nobody knows any more whose they were. */
const UNKNOWN_STATION = '';

interface DamagedRow {
  readonly what: string;
  readonly station: string;
  readonly from: number;
  readonly to: number;
  readonly fault: string;
  readonly certain: number;
}

/** Spans of readings that were found damaged, as they are kept. */
export class DamageTable {
  readonly #sql: Sql;
  #isThere: boolean | null = null;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Of one station, or of all; none in a store of before there was such a table. */
  list(station: string | null = null): DamagedSpan[] {
    this.#isThere ??= this.#sql.hasTable('damaged_span');
    if (!this.#isThere) return [];
    return this.#sql
      .all<DamagedRow>(
        `SELECT what, station, from_ms AS "from", to_ms AS "to", fault, certain FROM damaged_span
         WHERE ? IS NULL OR station = ? ORDER BY id`,
        station,
        station,
      )
      .map((row) => ({ ...row, certain: row.certain === 1 }));
  }

  /** Once for each station of what is damaged. */
  note(spans: readonly DamagedSpan[]): void {
    for (const { what, station, from, to, fault, certain } of spans)
      this.#sql.run(
        `INSERT INTO damaged_span (what, station, from_ms, to_ms, fault, certain) VALUES (?, ?, ?, ?, ?, ?)
         ON CONFLICT DO NOTHING`,
        ...[what, station, from, to, fault, certain ? 1 : 0],
      );
  }
}

/**
 * The spans that are missing with a damaged batch; none where it is not damaged. Where nothing of it can be read, one of no station.
 *
 * @param what it is called
 */
export function damagedSpans(what: string, seq: number, body: Uint8Array): DamagedSpan[] {
  const damage = damageOf(seq, body);
  if (damage === null) return [];
  const { extents, certain, fault } = damage;
  if (extents.length === 0) return [{ what, station: UNKNOWN_STATION, from: 0, to: 0, fault, certain: false }];
  return extents.map(({ station, from, to }) => ({ what, station, from, to, fault, certain }));
}

/** Which station, from when to when, what was found and what was expected. */
export function damageWords({ what, station, from, to, fault, certain }: DamagedSpan): string {
  const whose =
    station === UNKNOWN_STATION
      ? 'readings of a station that cannot be told any more'
      : `readings of ${station} from ${formatTime(from)} to ${formatTime(to)}`;
  return `${whose} are damaged (${what}: ${fault}${certain ? '' : '; whose they were is damaged too and may be more'})`;
}

/** @throws {AppError} READINGS_DAMAGED where there is any */
export function refuseDamaged(spans: readonly DamagedSpan[]): void {
  const [first] = spans;
  if (first === undefined) return;
  const more = spans.length > 1 ? `, and ${spans.length - 1} more` : '';
  throw new AppError(
    'READINGS_DAMAGED',
    `${damageWords(first)}${more}; restore a backup, or ask for a span without them`,
  );
}
