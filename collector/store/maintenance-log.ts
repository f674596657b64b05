import { AppError } from '../contract/errors.ts';
import type { LogEntry } from '../contract/log-entry.ts';
import type { Sql } from './sql.ts';
import type { LogCorrection, LogRecord, MaintenanceLog, StoredLogEntry } from './store.ts';

const COLUMNS = `id, time, gun, part, action, found, note, recorded_at AS recordedAt, source, who, measured, measured_unit AS unit`;

interface Row extends Omit<StoredLogEntry, 'measured'> {
  readonly measured: number | null;
  readonly unit: string | null;
}

const told = ({ measured, unit, ...entry }: Row): StoredLogEntry => ({
  ...entry,
  ...(measured === null || unit === null ? {} : { measured: { value: measured, unit } }),
});
const CORRECTION = 'id, entry, replacement, at, who, why';

/** The maintenance log as a table. Entries are added, never changed; a correction is a record beside them. */
export class EmbeddedLog implements MaintenanceLog {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  add(entry: LogEntry, record: LogRecord): { entry: StoredLogEntry; added: boolean } {
    const key = record.key ?? null;
    return this.#sql.write(() => {
      const before = this.#sql.get<Row>(`SELECT ${COLUMNS} FROM log_entry WHERE idempotency_key = ?`, key);
      if (before) return { entry: told(before), added: false };
      if (record.onceWithinMs !== undefined) this.#refuseTwice(entry, record.onceWithinMs);
      const { time, gun, part, action, found, note, measured } = entry;
      const { recordedAt, source, who = '' } = record;
      const { id } = this.#sql.run(
        `INSERT INTO log_entry (time, gun, part, action, found, note, recorded_at, source, idempotency_key, who,
           measured, measured_unit)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
        ...[time, gun, part, action, found, note, recordedAt, source, key, who],
        ...[measured?.value ?? null, measured?.unit ?? null],
      );
      const kept = { id, time, gun, part, action, found, note, recordedAt, source, who };
      return { entry: measured ? { ...kept, measured } : kept, added: true };
    });
  }

  /** @throws {AppError} LOGGED_ALREADY when the same was logged within so long before or after */
  #refuseTwice({ time, gun, part, action }: LogEntry, withinMs: number): void {
    const twin = this.list({ gun, from: time - withinMs, to: time + withinMs + 1 }).find(
      (one) => one.part === part && one.action === action,
    );
    if (twin !== undefined)
      throw new AppError(
        'LOGGED_ALREADY',
        `${part} of ${gun} ${action} at ${new Date(twin.time).toISOString()} is in the log already as entry ${twin.id}` +
          `${twin.who === '' ? '' : ` by ${twin.who}`}; correct that one, or say that it was done again`,
      );
  }

  correct(id: number, record: LogRecord & { why: string; replacement: LogEntry | null }): LogCorrection {
    return this.#sql.write(() => {
      if (this.get(id) === null) throw new AppError('NOT_FOUND', `the log has no entry ${id}`);
      const before = this.#sql.get<LogCorrection>(`SELECT ${CORRECTION} FROM log_correction WHERE entry = ?`, id);
      if (before) {
        const again = record.key === undefined ? undefined : `correction:${record.key}`;
        if (again !== undefined && again === this.#keyOf(before.replacement)) return before;
        throw new AppError(
          'EDITED_MEANWHILE',
          `entry ${id} was taken back already at ${new Date(before.at).toISOString()} by ${before.who || 'someone'}${
            before.replacement === null ? '' : `; entry ${before.replacement} stands in its place: correct that one`
          }`,
        );
      }
      const { recordedAt, source, who = '', why, replacement } = record;
      const key = record.key === undefined ? undefined : `correction:${record.key}`;
      const instead = replacement === null ? null : this.add(replacement, { recordedAt, source, who, key }).entry.id;
      const { id: correction } = this.#sql.run(
        'INSERT INTO log_correction (entry, replacement, at, who, why) VALUES (?, ?, ?, ?, ?)',
        ...[id, instead, recordedAt, who, why],
      );
      return { id: correction, entry: id, replacement: instead, at: recordedAt, who, why };
    });
  }

  list(filter: { gun?: string; from?: number; to?: number; afterId?: number } = {}): StoredLogEntry[] {
    return this.#select(filter, 'AND id NOT IN (SELECT entry FROM log_correction)');
  }

  history(filter: { gun?: string; from?: number; to?: number } = {}): StoredLogEntry[] {
    return this.#select(filter, '');
  }

  get(id: number): StoredLogEntry | null {
    const row = this.#sql.get<Row>(`SELECT ${COLUMNS} FROM log_entry WHERE id = ?`, id);
    return row === undefined ? null : told(row);
  }

  corrections(afterId = 0): LogCorrection[] {
    return this.#sql.all<LogCorrection>(`SELECT ${CORRECTION} FROM log_correction WHERE id > ? ORDER BY id`, afterId);
  }

  lastId(): number {
    return this.#sql.get<{ id: number | null }>('SELECT max(id) AS id FROM log_entry')?.id ?? 0;
  }

  #select(filter: { gun?: string; from?: number; to?: number; afterId?: number }, standing: string): StoredLogEntry[] {
    return this.#sql
      .all<Row>(
        `SELECT ${COLUMNS} FROM log_entry
       WHERE gun = coalesce(?, gun) AND time >= ? AND time < ? AND id > ? ${standing} ORDER BY time, id`,
        filter.gun ?? null,
        filter.from ?? Number.NEGATIVE_INFINITY,
        filter.to ?? Number.POSITIVE_INFINITY,
        filter.afterId ?? 0,
      )
      .map(told);
  }

  #keyOf(entry: number | null): string | undefined {
    return (
      this.#sql.get<{ key: string | null }>('SELECT idempotency_key AS key FROM log_entry WHERE id = ?', entry)?.key ??
      undefined
    );
  }
}
