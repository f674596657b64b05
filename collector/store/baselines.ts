import type { BaselineWords, DismissedChange, Relearning } from '../contract/baseline-words.ts';
import type { Sql } from './sql.ts';
import type { Baselines, StoredDismissal, StoredRelearning } from './stored-baselines.ts';

const RELEARNING = `id, gun, from_ms AS "from", decided, undone, reason, at, who, undone_at AS undoneAt, undone_by AS undoneBy`;
const DISMISSAL = 'id, gun, part, time, reason, at, who, undone_at AS undoneAt, undone_by AS undoneBy';

/** What people say of baselines, as tables of which nothing is taken away. */
export class EmbeddedBaselines implements Baselines {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  relearn(
    { gun, from, decided, reason }: Omit<Relearning, 'undone'> & { reason: string },
    { at, who }: { at: number; who: string },
  ): StoredRelearning {
    const { id } = this.#sql.run(
      'INSERT INTO relearning (gun, from_ms, decided, reason, at, who) VALUES (?, ?, ?, ?, ?, ?)',
      ...[gun, from, decided, reason, at, who],
    );
    return { id, gun, from, decided, undone: null, reason, at, who, undoneAt: null, undoneBy: null };
  }

  undoRelearning(id: number, undone: number, { at, who }: { at: number; who: string }): boolean {
    const { changes } = this.#sql.run(
      'UPDATE relearning SET undone = ?, undone_at = ?, undone_by = ? WHERE id = ? AND undone_at IS NULL',
      ...[undone, at, who, id],
    );
    return changes > 0;
  }

  relearnings(): StoredRelearning[] {
    return this.#sql.all<StoredRelearning>(`SELECT ${RELEARNING} FROM relearning ORDER BY id`);
  }

  dismiss(
    { gun, part, time, reason }: DismissedChange & { reason: string },
    { at, who }: { at: number; who: string },
  ): StoredDismissal {
    const { id } = this.#sql.run(
      'INSERT INTO dismissed_change (gun, part, time, reason, at, who) VALUES (?, ?, ?, ?, ?, ?)',
      ...[gun, part, time, reason, at, who],
    );
    return { id, gun, part, time, reason, at, who, undoneAt: null, undoneBy: null };
  }

  undoDismissal(id: number, { at, who }: { at: number; who: string }): boolean {
    const { changes } = this.#sql.run(
      'UPDATE dismissed_change SET undone_at = ?, undone_by = ? WHERE id = ? AND undone_at IS NULL',
      ...[at, who, id],
    );
    return changes > 0;
  }

  dismissals({ undone = false }: { undone?: boolean } = {}): StoredDismissal[] {
    const all = undone ? '' : 'WHERE undone_at IS NULL';
    return this.#sql.all<StoredDismissal>(`SELECT ${DISMISSAL} FROM dismissed_change ${all} ORDER BY id`);
  }

  words(): BaselineWords {
    return {
      relearnings: this.relearnings().map(({ gun, from, decided, undone }) => ({ gun, from, decided, undone })),
      dismissals: this.dismissals().map(({ gun, part, time }) => ({ gun, part, time })),
    };
  }
}
