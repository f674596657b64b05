import type { Finding } from '../contract/finding.ts';
import type { Sql } from './sql.ts';
import type { FindingKey, Findings, StoredFinding } from './store.ts';

interface Row {
  readonly body: string;
  readonly savedAt: number;
  readonly revisedAt: number | null;
  readonly withdrawnAt: number | null;
}

/** A gun's name in a key; findings common to several guns have none. */
export function gunKey(gun: string | null): string {
  return gun ?? '';
}

/** The last state of each finding, as a table. */
export class EmbeddedFindings implements Findings {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  save(findings: readonly Finding[], at: number, revised = false): void {
    this.#sql.write(() => {
      for (const finding of findings)
        this.#sql.run(
          `INSERT INTO finding (gun, cause, raised, cleared, body, saved_at, revised_at) VALUES (?, ?, ?, ?, ?, ?, ?)
           ON CONFLICT DO UPDATE SET cleared = excluded.cleared, body = excluded.body, saved_at = excluded.saved_at,
             revised_at = coalesce(excluded.revised_at, revised_at), withdrawn_at = NULL`,
          gunKey(finding.gun),
          finding.cause,
          Date.parse(finding.raised),
          finding.cleared === null ? null : Date.parse(finding.cleared),
          JSON.stringify(finding),
          at,
          revised ? at : null,
        );
    });
  }

  withdraw(keys: readonly FindingKey[], at: number): void {
    this.#sql.write(() => {
      for (const { gun, cause, raised } of keys)
        this.#sql.run(
          'UPDATE finding SET withdrawn_at = ? WHERE gun = ? AND cause = ? AND raised = ? AND withdrawn_at IS NULL',
          at,
          gunKey(gun),
          cause,
          Date.parse(raised),
        );
    });
  }

  get({ gun, cause, raised }: FindingKey): StoredFinding | null {
    const row = this.#sql.get<Row>(
      `SELECT body, saved_at AS savedAt, revised_at AS revisedAt, withdrawn_at AS withdrawnAt FROM finding
       WHERE gun = ? AND cause = ? AND raised = ?`,
      gunKey(gun),
      cause,
      Date.parse(raised),
    );
    if (!row) return null;
    const { body, ...marks } = row;
    return { finding: JSON.parse(body) as Finding, ...marks };
  }

  list(
    filter: { open?: boolean; withdrawn?: boolean; before?: number; clearedFrom?: number; limit?: number } = {},
  ): StoredFinding[] {
    const conditions = ['raised < ?', '(cleared IS NULL OR cleared >= ?)'];
    if (filter.open !== undefined) conditions.push(`cleared IS ${filter.open ? '' : 'NOT'} NULL`);
    if (!filter.withdrawn) conditions.push('withdrawn_at IS NULL');
    return this.#sql
      .all<Row>(
        `SELECT body, saved_at AS savedAt, revised_at AS revisedAt, withdrawn_at AS withdrawnAt FROM finding
         WHERE ${conditions.join(' AND ')} ORDER BY raised DESC, gun, cause LIMIT ?`,
        filter.before ?? Number.POSITIVE_INFINITY,
        filter.clearedFrom ?? Number.NEGATIVE_INFINITY,
        filter.limit ?? -1,
      )
      .map(({ body, ...marks }) => ({ finding: JSON.parse(body) as Finding, ...marks }));
  }
}
