import { AppError } from '../contract/errors.ts';
import { formatTime } from '../contract/time.ts';
import { damageOf } from './extents.ts';
import type { Sql } from './sql.ts';
import type { Store } from './store.ts';
import type { DamagedKind, DamagedSpan, Readings } from './stored-readings.ts';

/** What is said of readings of which nobody knows any more whose they were. */
const UNKNOWN_STATION = '';

const COLUMNS = 'what, station, from_ms AS "from", to_ms AS "to", fault, certain';

type DamagedRow = Omit<DamagedSpan, 'certain'> & { readonly certain: number };

/** What was found damaged, as it is kept, but for what was settled. */
export class DamageTable {
  readonly #sql: Sql;
  #columns: ReadonlySet<string> | null = null;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Of one station, or of all; none in a store of before there was such a table. */
  list(station: string | null = null, kinds: readonly DamagedKind[] | null = null): DamagedSpan[] {
    const columns = this.#known();
    if (columns.size === 0) return [];
    // A store that is only looked at may be of before there were other kinds, and before anything was settled.
    const [kind, open] = columns.has('kind') ? ['kind', 'settled_at IS NULL'] : [`'readings' AS kind`, '1'];
    return this.#sql
      .all<DamagedRow>(
        `SELECT ${kind}, ${COLUMNS} FROM damaged_span WHERE ${open} AND (? IS NULL OR station = ?) ORDER BY id`,
        station,
        station,
      )
      .filter((row) => kinds === null || kinds.includes(row.kind))
      .map((row) => ({ ...row, certain: row.certain === 1 }));
  }

  /** Once for each station of what is damaged; what was settled and is damaged anew counts again. */
  note(spans: readonly DamagedSpan[]): void {
    for (const { kind, what, station, from, to, fault, certain } of spans)
      this.#sql.run(
        `INSERT INTO damaged_span (kind, what, station, from_ms, to_ms, fault, certain) VALUES (?, ?, ?, ?, ?, ?, ?)
         ON CONFLICT DO UPDATE SET from_ms = excluded.from_ms, to_ms = excluded.to_ms, fault = excluded.fault,
           settled_at = NULL, settled_by = NULL, settled_why = NULL WHERE settled_at IS NOT NULL`,
        ...[kind, what, station, from, to, fault, certain ? 1 : 0],
      );
  }

  #known(): ReadonlySet<string> {
    this.#columns ??= new Set(
      this.#sql.all<{ name: string }>("SELECT name FROM pragma_table_info('damaged_span')").map(({ name }) => name),
    );
    return this.#columns;
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
  const kind = 'readings';
  if (extents.length === 0) return [{ kind, what, station: UNKNOWN_STATION, from: 0, to: 0, fault, certain: false }];
  return extents.map(({ station, from, to }) => ({ kind, what, station, from, to, fault, certain }));
}

/** Which station, from when to when, what was found and what was expected. */
export function damageWords({ kind, what, station, from, to, fault, certain }: DamagedSpan): string {
  if (kind === 'refusals') return `refused messages are damaged (${what}: ${fault})`;
  const whose =
    station === UNKNOWN_STATION
      ? 'readings of a station that cannot be told any more'
      : `${kind} of ${station} from ${formatTime(from)} to ${formatTime(to)}`;
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

/** What a read that failed says of why: the checksum rather than the sentence around it. */
export function faultOf(read: () => void): string | null {
  try {
    read();
    return null;
  } catch (error) {
    const cause = error instanceof Error ? (error.cause ?? error) : error;
    return cause instanceof Error ? cause.message : String(cause);
  }
}

/** Of a station's damage what is of readings as they came: those that were thinned are not asked for with them. */
export function damagedReadings(
  readings: Pick<Readings, 'damaged'>,
  station: string,
  from?: number,
  to?: number,
): DamagedSpan[] {
  return readings.damaged(station, from, to).filter(({ kind }) => kind === 'readings');
}

/** All that is known to be damaged of a store. */
export function damagedIn({
  readings,
  runs,
  quarantine,
}: Pick<Store, 'readings' | 'runs' | 'quarantine'>): DamagedSpan[] {
  return [...readings.damaged(), ...runs.damaged(), ...quarantine.damaged()];
}
