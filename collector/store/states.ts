import type { Sql } from './sql.ts';
import type { States } from './store.ts';

/** Named byte strings as a table. */
export class EmbeddedStates implements States {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  get(key: string): Uint8Array | null {
    return this.#sql.get<{ bytes: Uint8Array }>('SELECT bytes FROM state WHERE key = ?', key)?.bytes ?? null;
  }

  put(key: string, bytes: Uint8Array): void {
    this.#sql.run(
      'INSERT INTO state (key, bytes) VALUES (?, ?) ON CONFLICT DO UPDATE SET bytes = excluded.bytes',
      key,
      bytes,
    );
  }

  delete(key: string): void {
    this.#sql.run('DELETE FROM state WHERE key = ?', key);
  }

  keys(prefix = ''): string[] {
    return this.#sql
      .all<{ key: string }>('SELECT key FROM state WHERE substr(key, 1, length(?)) = ? ORDER BY key', prefix, prefix)
      .map(({ key }) => key);
  }
}
