import type { Sql } from './sql.ts';
import type { TracePoint, Traces } from './store.ts';

/** The course of each gun's excess air as a table: a year of a gun is some thousand rows. */
export class EmbeddedTraces implements Traces {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  put(points: readonly TracePoint[]): void {
    this.#sql.write(() => {
      for (const { gun, time, needed, actual, excess, low, high, changeLimit, wearLeft } of points)
        this.#sql.run(
          `INSERT OR REPLACE INTO trace (gun, time, needed, actual, excess, low, high, change_limit, wear_left)
           VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
          ...[gun, time, needed, actual, excess, low, high, changeLimit, wearLeft],
        );
    });
  }

  dropAfter(time: number): void {
    this.#sql.run('DELETE FROM trace WHERE time > ?', time);
  }

  list(gun: string, from: number, to: number): TracePoint[] {
    return this.#sql.all<TracePoint>(
      `SELECT gun, time, needed, actual, excess, low, high, change_limit AS changeLimit, wear_left AS wearLeft
       FROM trace WHERE gun = ? AND time >= ? AND time < ? ORDER BY time`,
      gun,
      from,
      Number.isFinite(to) ? to : Number.MAX_SAFE_INTEGER,
    );
  }
}
