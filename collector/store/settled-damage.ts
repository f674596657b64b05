import { AppError } from '../contract/errors.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';

/** A person's word on what was damaged. */
export interface Settlement {
  /** Epoch ms. */
  readonly at: number;
  readonly who: string;
  readonly why: string;
}

export interface KnownDamage extends DamagedSpan {
  readonly id: number;
  /** Null while it is refused and told of. */
  readonly settled: Settlement | null;
}

/** What people say of what was damaged: that it is there again, or given up. Its bytes stay set aside. */
export interface Damage {
  /** All that was ever noted and not found anew, ascending by number. */
  list(): KnownDamage[];
  /**
   * From now on nobody is refused because of it, and it is told of no more.
   *
   * @throws {AppError} NOT_FOUND; USAGE where it is settled already, or still lies where it was and would be met again
   */
  settle(id: number, word: Settlement): KnownDamage;
  /** Takes that back. @throws {AppError} NOT_FOUND; USAGE where it is not settled */
  reopen(id: number): KnownDamage;
}

interface Row extends Omit<DamagedSpan, 'certain'> {
  readonly id: number;
  readonly certain: number;
  readonly at: number | null;
  readonly who: string;
  readonly why: string;
}

export class EmbeddedDamage implements Damage {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  list(): KnownDamage[] {
    return this.#sql
      .all<Row>(
        `SELECT id, kind, what, station, from_ms AS "from", to_ms AS "to", fault, certain, settled_at AS at,
           settled_by AS who, settled_why AS why FROM damaged_span ORDER BY id`,
      )
      .map(({ certain, at, who, why, ...span }) => ({
        ...span,
        certain: certain === 1,
        settled: at === null ? null : { at, who, why },
      }));
  }

  settle(id: number, { at, who, why }: Settlement): KnownDamage {
    return this.#sql.write(() => {
      const { what, settled } = this.#one(id);
      if (settled !== null) throw new AppError('USAGE', `damage ${id} (${what}) is settled already, by ${settled.who}`);
      if (this.#sql.get('SELECT 1 FROM set_aside WHERE what = ?', what) === undefined)
        throw new AppError(
          'USAGE',
          `damage ${id} (${what}) still lies where it was and would be met again; the next start of the service, or "driftline compact", sets it aside`,
        );
      this.#sql.run(
        'UPDATE damaged_span SET settled_at = ?, settled_by = ?, settled_why = ? WHERE id = ?',
        ...[at, who, why, id],
      );
      return this.#one(id);
    });
  }

  reopen(id: number): KnownDamage {
    return this.#sql.write(() => {
      const { what, settled } = this.#one(id);
      if (settled === null) throw new AppError('USAGE', `damage ${id} (${what}) is not settled`);
      this.#sql.run(
        'UPDATE damaged_span SET settled_at = NULL, settled_by = NULL, settled_why = NULL WHERE id = ?',
        id,
      );
      return this.#one(id);
    });
  }

  #one(id: number): KnownDamage {
    const found = this.list().find((one) => one.id === id);
    if (found === undefined)
      throw new AppError('NOT_FOUND', `no damage has the number ${id}; "driftline damage list" shows all`);
    return found;
  }
}
