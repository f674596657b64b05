import type { Sql } from './sql.ts';

/** Readings of one commit whose times were corrected: their own times are those stored plus the offset. */
export interface ClockCorrection {
  readonly station: string;
  /** What was taken off the station's own times, ms: above 0 its clock is ahead. */
  readonly offsetMs: number;
  /** Least and largest corrected time, epoch ms. */
  readonly from: number;
  readonly to: number;
  readonly readings: number;
  /** Receiver's clock, epoch ms. */
  readonly receivedAt: number;
}

/** A span of readings corrected alike. Times are epoch ms. */
export interface ClockSpan {
  readonly station: string;
  readonly offsetMs: number;
  /** Corrected times; a reading's own time is its stored one plus `offsetMs`. */
  readonly from: number;
  readonly to: number;
  readonly readings: number;
  readonly firstReceivedAt: number;
  readonly lastReceivedAt: number;
  /** The station's clock is still off by this. */
  readonly open: boolean;
}

export interface ClockSpans {
  /** In order of station and time; of one station or of all. */
  list(station?: string): ClockSpan[];
  /** Stations whose clocks are off now, and by how much, ms. */
  current(): Map<string, number>;
}

/** What was corrected, as a table: with it both times of every reading are known. */
export class EmbeddedClockSpans implements ClockSpans {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Within the transaction that keeps the readings. A correction of 0 ends the station's span: its clock is right again. */
  add(corrections: readonly ClockCorrection[]): void {
    for (const { station, offsetMs, from, to, readings, receivedAt } of corrections) {
      const open = this.#sql.get<{ id: number; offsetMs: number }>(
        'SELECT id, offset_ms AS offsetMs FROM clock_span WHERE station = ? AND open = 1',
        station,
      );
      if (open && open.offsetMs !== offsetMs) this.#sql.run('UPDATE clock_span SET open = 0 WHERE id = ?', open.id);
      if (offsetMs === 0) continue;
      if (open?.offsetMs === offsetMs)
        this.#sql.run(
          `UPDATE clock_span SET from_ms = min(from_ms, ?), to_ms = max(to_ms, ?), readings = readings + ?, last_received = ?
           WHERE id = ?`,
          ...[from, to, readings, receivedAt, open.id],
        );
      else
        this.#sql.run(
          `INSERT INTO clock_span (station, offset_ms, from_ms, to_ms, readings, first_received, last_received, open)
           VALUES (?, ?, ?, ?, ?, ?, ?, 1)`,
          ...[station, offsetMs, from, to, readings, receivedAt, receivedAt],
        );
    }
  }

  list(station?: string): ClockSpan[] {
    return this.#sql
      .all<Omit<ClockSpan, 'open'> & { open: number }>(
        `SELECT station, offset_ms AS offsetMs, from_ms AS "from", to_ms AS "to", readings, first_received AS firstReceivedAt,
           last_received AS lastReceivedAt, open FROM clock_span WHERE station = coalesce(?, station) ORDER BY station, from_ms, id`,
        station ?? null,
      )
      .map(({ open, ...span }) => ({ ...span, open: open === 1 }));
  }

  current(): Map<string, number> {
    return new Map(
      this.#sql
        .all<{ station: string; offsetMs: number }>(
          'SELECT station, offset_ms AS offsetMs FROM clock_span WHERE open = 1',
        )
        .map(({ station, offsetMs }) => [station, offsetMs]),
    );
  }
}
