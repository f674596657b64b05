import type { Finding } from '../contract/finding.ts';
import { gunKey } from './findings.ts';
import type { Sql } from './sql.ts';
import type { Journal, JournalEntry } from './store.ts';

/** What was shown and when, as a table. Entries are added and marked, never changed. */
export class EmbeddedJournal implements Journal {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  append(findings: readonly Finding[], shownAt: number): void {
    this.#sql.write(() => {
      for (const finding of findings)
        this.#sql.run(
          'INSERT INTO journal (shown_at, as_of, gun, body) VALUES (?, ?, ?, ?)',
          shownAt,
          Date.parse(finding.asOf),
          gunKey(finding.gun),
          JSON.stringify(finding),
        );
    });
  }

  revise(gun: string | null | undefined, fromAsOf: number, at: number): number {
    return this.#sql.run(
      'UPDATE journal SET revised_at = ? WHERE gun = coalesce(?, gun) AND as_of >= ? AND revised_at IS NULL',
      at,
      gun === undefined ? null : gunKey(gun),
      fromAsOf,
    ).changes;
  }

  list(filter: { gun?: string | null; afterId?: number; limit?: number } = {}): JournalEntry[] {
    return this.#sql
      .all<{ id: number; shownAt: number; body: string; revisedAt: number | null }>(
        `SELECT id, shown_at AS shownAt, body, revised_at AS revisedAt FROM journal
         WHERE gun = coalesce(?, gun) AND id > ? ORDER BY id LIMIT ?`,
        filter.gun === undefined ? null : gunKey(filter.gun),
        filter.afterId ?? 0,
        filter.limit ?? -1,
      )
      .map(({ id, shownAt, body, revisedAt }) => ({ id, shownAt, finding: JSON.parse(body) as Finding, revisedAt }));
  }
}
