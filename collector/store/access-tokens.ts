import type { Token, Tokens } from './access-records.ts';
import type { Sql } from './sql.ts';

const COLUMNS = 'id, kind, name, role, created_at AS createdAt, revoked_at AS revokedAt';

/** Tokens of programs and of walls' links as a table. */
export class EmbeddedTokens implements Tokens {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  add(hash: Uint8Array, token: Omit<Token, 'id' | 'revokedAt'>): Token {
    const { kind, name, role, createdAt } = token;
    const { id } = this.#sql.run(
      'INSERT INTO token (hash, kind, name, role, created_at) VALUES (?, ?, ?, ?, ?)',
      hash,
      kind,
      name,
      role,
      createdAt,
    );
    return { id, kind, name, role, createdAt, revokedAt: null };
  }

  find(hash: Uint8Array): Token | null {
    return this.#sql.get<Token>(`SELECT ${COLUMNS} FROM token WHERE hash = ? AND revoked_at IS NULL`, hash) ?? null;
  }

  byId(id: number): Token | null {
    return this.#sql.get<Token>(`SELECT ${COLUMNS} FROM token WHERE id = ?`, id) ?? null;
  }

  list(): Token[] {
    return this.#sql.all<Token>(`SELECT ${COLUMNS} FROM token ORDER BY id`);
  }

  revoke(id: number, at: number): void {
    this.#sql.run('UPDATE token SET revoked_at = ? WHERE id = ? AND revoked_at IS NULL', at, id);
  }
}
