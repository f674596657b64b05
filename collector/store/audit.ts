import type { Audit, AuditEntry } from './access-records.ts';
import type { Sql } from './sql.ts';

/** The audit trail as a table; its triggers refuse whatever is no addition. */
export class EmbeddedAudit implements Audit {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  add(entry: Omit<AuditEntry, 'id'>): AuditEntry {
    const { at, who, what, detail, origin } = entry;
    const { id } = this.#sql.run(
      'INSERT INTO audit (at, who, what, detail, origin) VALUES (?, ?, ?, ?, ?)',
      at,
      who,
      what,
      detail,
      origin,
    );
    return { id, at, who, what, detail, origin };
  }

  list(filter: { beforeId?: number; who?: string; limit?: number } = {}): AuditEntry[] {
    return this.#sql.all<AuditEntry>(
      `SELECT id, at, who, what, detail, origin FROM audit
       WHERE id < ? AND who = coalesce(?, who) ORDER BY id DESC LIMIT ?`,
      filter.beforeId ?? Number.MAX_SAFE_INTEGER,
      filter.who ?? null,
      filter.limit ?? -1,
    );
  }

  lastId(): number {
    return this.#sql.get<{ id: number | null }>('SELECT max(id) AS id FROM audit')?.id ?? 0;
  }
}
