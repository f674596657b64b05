import type { ExcludedSpan, Judged, Judgement } from '../contract/judgement.ts';
import type { Sql } from './sql.ts';
import type { StoredExclusion, StoredJudgement, Truths } from './store.ts';

const WORD = 'id, gun, cause, raised, judged, reason, at, who';
const SPAN = 'id, gun, from_ms AS "from", to_ms AS "to", reason, at, who, undone_at AS undoneAt, undone_by AS undoneBy';

/** What people say of findings and runs, as tables to which is only added. */
export class EmbeddedTruths implements Truths {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  judge(
    word: Omit<Judgement, 'judged'> & { judged: Judged | null },
    { at, who }: { at: number; who: string },
  ): StoredJudgement {
    const { gun, cause, raised, judged, reason } = word;
    const { id } = this.#sql.run(
      'INSERT INTO judgement (gun, cause, raised, judged, reason, at, who) VALUES (?, ?, ?, ?, ?, ?, ?)',
      gun ?? '',
      cause,
      raised,
      judged,
      reason,
      at,
      who,
    );
    return { ...word, id, at, who };
  }

  judgements(): StoredJudgement[] {
    return this.#sql
      .all<StoredJudgement>(
        `SELECT ${WORD} FROM judgement WHERE id IN (SELECT max(id) FROM judgement GROUP BY gun, cause, raised)
         AND judged IS NOT NULL ORDER BY id`,
      )
      .map(withGun);
  }

  words(): StoredJudgement[] {
    return this.#sql.all<StoredJudgement>(`SELECT ${WORD} FROM judgement ORDER BY id`).map(withGun);
  }

  history(gun: string | null, cause: string, raised: number): StoredJudgement[] {
    return this.#sql
      .all<StoredJudgement>(
        `SELECT ${WORD} FROM judgement WHERE gun = ? AND cause = ? AND raised = ? ORDER BY id`,
        gun ?? '',
        cause,
        raised,
      )
      .map(withGun);
  }

  exclude({ gun, from, to, reason }: ExcludedSpan, { at, who }: { at: number; who: string }): StoredExclusion {
    const { id } = this.#sql.run(
      'INSERT INTO excluded_span (gun, from_ms, to_ms, reason, at, who) VALUES (?, ?, ?, ?, ?, ?)',
      gun,
      from,
      to,
      reason,
      at,
      who,
    );
    return { id, gun, from, to, reason, at, who, undoneAt: null, undoneBy: null };
  }

  undoExclusion(id: number, { at, who }: { at: number; who: string }): boolean {
    const { changes } = this.#sql.run(
      'UPDATE excluded_span SET undone_at = ?, undone_by = ? WHERE id = ? AND undone_at IS NULL',
      at,
      who,
      id,
    );
    return changes > 0;
  }

  exclusions(filter: { undone?: boolean } = {}): StoredExclusion[] {
    const all = filter.undone === true ? '' : 'WHERE undone_at IS NULL';
    return this.#sql.all<StoredExclusion>(`SELECT ${SPAN} FROM excluded_span ${all} ORDER BY id`);
  }
}

/** A finding common to several guns is kept under the empty gun: NULL would not be grouped with itself in a key. */
function withGun(row: StoredJudgement): StoredJudgement {
  return row.gun === '' ? { ...row, gun: null } : row;
}
