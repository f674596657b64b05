import type { Session, Sessions } from './access-records.ts';
import type { Sql } from './sql.ts';

const COLUMNS = 'id, person, created_at AS createdAt, expires_at AS expiresAt, seen_at AS seenAt, address, agent';

/** How long a session that is over is kept, ms: it tells from where somebody usually comes. Source: own choice, 90 days. */
const KEPT_MS = 90 * 86_400_000;

/** Sessions of people as a table. */
export class EmbeddedSessions implements Sessions {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  add(hash: Uint8Array, session: Omit<Session, 'id' | 'seenAt'>, most: number): Session {
    const { person, createdAt, expiresAt, address, agent } = session;
    return this.#sql.write(() => {
      this.#sql.run('DELETE FROM session WHERE expires_at < ?', createdAt - KEPT_MS);
      const { id } = this.#sql.run(
        `INSERT INTO session (hash, person, created_at, expires_at, seen_at, address, agent)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
        hash,
        person,
        createdAt,
        expiresAt,
        createdAt,
        address,
        agent,
      );
      this.#sql.run(
        `UPDATE session SET ended_at = ? WHERE person = ? AND ended_at IS NULL AND expires_at > ? AND id NOT IN
           (SELECT id FROM session WHERE person = ? AND ended_at IS NULL AND expires_at > ? ORDER BY id DESC LIMIT ?)`,
        ...[createdAt, person, createdAt, person, createdAt, most],
      );
      return { id, person, createdAt, expiresAt, seenAt: createdAt, address, agent };
    });
  }

  find(hash: Uint8Array, now: number): Session | null {
    return (
      this.#sql.get<Session>(
        `SELECT ${COLUMNS} FROM session WHERE hash = ? AND ended_at IS NULL AND expires_at > ?`,
        hash,
        now,
      ) ?? null
    );
  }

  list(now: number, person?: number): Session[] {
    return this.#sql.all<Session>(
      `SELECT ${COLUMNS} FROM session
       WHERE person = coalesce(?, person) AND ended_at IS NULL AND expires_at > ? ORDER BY id DESC`,
      person ?? null,
      now,
    );
  }

  seen(id: number, at: number): void {
    this.#sql.run('UPDATE session SET seen_at = ? WHERE id = ?', at, id);
  }

  end(person: number, at: number, which: { readonly only?: number; readonly except?: number } = {}): number {
    return this.#sql.run(
      `UPDATE session SET ended_at = ?
       WHERE person = ? AND ended_at IS NULL AND expires_at > ? AND id = coalesce(?, id) AND id <> coalesce(?, -1)`,
      at,
      person,
      at,
      which.only ?? null,
      which.except ?? null,
    ).changes;
  }

  cameFrom(person: number, address: string): boolean {
    return (
      this.#sql.get('SELECT 1 AS one FROM session WHERE person = ? AND address = ? LIMIT 1', person, address) !==
      undefined
    );
  }
}
