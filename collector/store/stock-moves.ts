import { AppError } from '../contract/errors.ts';
import type { Sql } from './sql.ts';

/** `counted` and `ordered` state how many there are then; `delivered` and `taken` say how many came or went. */
export type StockMoveKind = 'counted' | 'delivered' | 'taken' | 'ordered';

/** One line of the shelf's ledger. What changes of parts use stands in the maintenance log and not here. */
export interface StockMove {
  readonly id: number;
  /** When it happened, epoch ms. */
  readonly time: number;
  readonly part: string;
  readonly kind: StockMoveKind;
  readonly quantity: number;
  readonly note: string;
  readonly recordedAt: number;
  readonly who: string;
  /** When and by whom it was taken back; the line stays. */
  readonly undoneAt: number | null;
  readonly undoneBy: string | null;
}

export interface StockMoves {
  /** Adds a line. With a `key` that was used before nothing is added and the line of then is returned, `added` false. */
  add(
    move: Omit<StockMove, 'id' | 'undoneAt' | 'undoneBy'>,
    key?: string,
  ): { readonly move: StockMove; readonly added: boolean };
  /**
   * Takes a line back; it stays on record and counts no more.
   *
   * @throws {AppError} NOT_FOUND; EDITED_MEANWHILE when it was taken back before
   */
  undo(id: number, record: { readonly at: number; readonly who: string }): StockMove;
  /** In order of time, then id; also those taken back. */
  list(part?: string): StockMove[];
}

const COLUMNS = `id, time, part, kind, quantity, note, recorded_at AS recordedAt, who,
  undone_at AS undoneAt, undone_by AS undoneBy`;

/** The shelf's ledger as a table. Lines are added and marked, never changed. */
export class EmbeddedStockMoves implements StockMoves {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  add(move: Omit<StockMove, 'id' | 'undoneAt' | 'undoneBy'>, key?: string): { move: StockMove; added: boolean } {
    return this.#sql.write(() => {
      const before = this.#sql.get<StockMove>(
        `SELECT ${COLUMNS} FROM stock_move WHERE idempotency_key = ?`,
        key ?? null,
      );
      if (before) return { move: before, added: false };
      const { time, part, kind, quantity, note, recordedAt, who } = move;
      const { id } = this.#sql.run(
        `INSERT INTO stock_move (time, part, kind, quantity, note, recorded_at, who, idempotency_key)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
        ...[time, part, kind, quantity, note, recordedAt, who, key ?? null],
      );
      return { move: { ...move, id, undoneAt: null, undoneBy: null }, added: true };
    });
  }

  undo(id: number, { at, who }: { at: number; who: string }): StockMove {
    return this.#sql.write(() => {
      const move = this.#sql.get<StockMove>(`SELECT ${COLUMNS} FROM stock_move WHERE id = ?`, id);
      if (!move) throw new AppError('NOT_FOUND', `the shelf's ledger has no line ${id}`);
      if (move.undoneAt !== null)
        throw new AppError(
          'EDITED_MEANWHILE',
          `line ${id} was taken back already at ${new Date(move.undoneAt).toISOString()} by ${move.undoneBy || 'someone'}`,
        );
      this.#sql.run('UPDATE stock_move SET undone_at = ?, undone_by = ? WHERE id = ?', at, who, id);
      return { ...move, undoneAt: at, undoneBy: who };
    });
  }

  list(part?: string): StockMove[] {
    return this.#sql.all<StockMove>(
      `SELECT ${COLUMNS} FROM stock_move WHERE part = coalesce(?, part) ORDER BY time, id`,
      part ?? null,
    );
  }
}
