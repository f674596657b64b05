import type { LogEntry } from '../contract/log-entry.ts';
import type { Sql } from './sql.ts';
import type { MaintenanceLog, StoredLogEntry } from './store.ts';

const COLUMNS = 'id, time, gun, part, action, found, note, recorded_at AS recordedAt, source';

/** The maintenance log as a table. Entries are added, never changed. */
export class EmbeddedLog implements MaintenanceLog {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  add(
    entry: LogEntry,
    record: { recordedAt: number; source: string; key?: string | undefined },
  ): { entry: StoredLogEntry; added: boolean } {
    const key = record.key ?? null;
    return this.#sql.write(() => {
      const before = this.#sql.get<StoredLogEntry>(`SELECT ${COLUMNS} FROM log_entry WHERE idempotency_key = ?`, key);
      if (before) return { entry: before, added: false };
      const { id } = this.#sql.run(
        `INSERT INTO log_entry (time, gun, part, action, found, note, recorded_at, source, idempotency_key)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
        entry.time,
        entry.gun,
        entry.part,
        entry.action,
        entry.found,
        entry.note,
        record.recordedAt,
        record.source,
        key,
      );
      const { time, gun, part, action, found, note } = entry;
      const { recordedAt, source } = record;
      return { entry: { id, time, gun, part, action, found, note, recordedAt, source }, added: true };
    });
  }

  list(filter: { gun?: string; from?: number; to?: number; afterId?: number } = {}): StoredLogEntry[] {
    return this.#sql.all<StoredLogEntry>(
      `SELECT ${COLUMNS} FROM log_entry
       WHERE gun = coalesce(?, gun) AND time >= ? AND time < ? AND id > ? ORDER BY time, id`,
      filter.gun ?? null,
      filter.from ?? Number.NEGATIVE_INFINITY,
      filter.to ?? Number.POSITIVE_INFINITY,
      filter.afterId ?? 0,
    );
  }

  lastId(): number {
    return this.#sql.get<{ id: number | null }>('SELECT max(id) AS id FROM log_entry')?.id ?? 0;
  }
}
