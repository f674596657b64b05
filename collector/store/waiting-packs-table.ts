import { sectionsOf } from './batch.ts';
import type { WaitingPack } from './commit-group.ts';
import { packOf } from './pack-of.ts';
import type { Sql } from './sql.ts';

/** A pack that waits, as a batch of its own. */
export interface WaitingRow extends Omit<WaitingPack, 'pack'> {
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
  list(after = 0): Pick<WaitingRow, 'id' | 'body'>[] {
    this.#isThere ??= this.#sql.hasTable('waiting_pack');
    return this.#isThere ? this.#sql.all('SELECT id, body FROM waiting_pack WHERE id > ? ORDER BY id', after) : [];
  }

  /** Their numbers alone. */
  ids(): number[] {
    this.#isThere ??= this.#sql.hasTable('waiting_pack');
    if (!this.#isThere) return [];
    return this.#sql.all<{ id: number }>('SELECT id FROM waiting_pack ORDER BY id').map(({ id }) => id);
  }

  /** Those that a program of before has left, and damaged ones: nobody can go on with them. */
  lost(): Pick<WaitingRow, 'id' | 'body'>[] {
    return this.#rows().filter(({ receivedAt, body }) => receivedAt === null || sectionsOf(0, body) === null);
  }

  /** The others, as they were given, in the order in which they came. */
  packs(): WaitingPack[] {
    return this.#rows().flatMap(({ id, body, receivedAt, offsetMs, isSecond }) => {
      const [section] = receivedAt === null ? [] : (sectionsOf(id, body) ?? []);
      if (section === undefined || receivedAt === null) return [];
      return [{ id, pack: packOf(section), receivedAt, offsetMs, isSecond: isSecond === 1 }];
    });
  }

  /** Within the transaction that acknowledges them. */
  add(rows: readonly WaitingRow[]): void {
    for (const { id, body, receivedAt, offsetMs, isSecond } of rows)
      this.#sql.run(
        'INSERT INTO waiting_pack (id, body, received_at, offset_ms, is_second) VALUES (?, ?, ?, ?, ?)',
        ...[id, body, receivedAt, offsetMs, isSecond ? 1 : 0],
      );
  }

  #rows(): { id: number; body: Uint8Array; receivedAt: number | null; offsetMs: number; isSecond: number }[] {
    return this.#sql.all(
      `SELECT id, body, received_at AS receivedAt, offset_ms AS offsetMs, is_second AS isSecond FROM waiting_pack ORDER BY id`,
    );
  }

  /** Within the transaction that keeps their readings. */
  settle(ids: readonly number[]): void {
    for (const id of ids) this.#sql.run('DELETE FROM waiting_pack WHERE id = ?', id);
  }
}
