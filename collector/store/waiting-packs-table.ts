import type { Sql } from './sql.ts';

/** A pack that waits, as a batch of its own. */
export interface WaitingRow {
  readonly id: number;
  readonly body: Uint8Array;
}

/** Packs that wait until it is known by how much their station's clock is off, as a table. Few, and seldom any. */
export class WaitingPacksTable {
  readonly #sql: Sql;
  #isThere: boolean | null = null;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Those behind the number `after`, in the order in which they came; none in a store of before there was such a table. */
  list(after = 0): WaitingRow[] {
    this.#isThere ??= this.#sql.hasTable('waiting_pack');
    return this.#isThere
      ? this.#sql.all<WaitingRow>('SELECT id, body FROM waiting_pack WHERE id > ? ORDER BY id', after)
      : [];
  }

  /** Their numbers alone. */
  ids(): number[] {
    this.#isThere ??= this.#sql.hasTable('waiting_pack');
    if (!this.#isThere) return [];
    return this.#sql.all<{ id: number }>('SELECT id FROM waiting_pack ORDER BY id').map(({ id }) => id);
  }

  /** Within the transaction that acknowledges them. */
  add(rows: readonly WaitingRow[]): void {
    for (const { id, body } of rows) this.#sql.run('INSERT INTO waiting_pack (id, body) VALUES (?, ?)', id, body);
  }

  /** Within the transaction that keeps their readings. */
  settle(ids: readonly number[]): void {
    for (const id of ids) this.#sql.run('DELETE FROM waiting_pack WHERE id = ?', id);
  }
}
