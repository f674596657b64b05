import type { Sql } from './sql.ts';

/** `waiting` until it went out (`sent`) or was given up (`failed`). */
export type OutboxState = 'waiting' | 'sent' | 'failed';

/** One message to one target. */
export interface OutboxEntry {
  readonly id: number;
  /** What it tells to whom: the same is told once. */
  readonly key: string;
  /** `mail`, or `webhook:` and its name. */
  readonly target: string;
  readonly kind: string;
  readonly body: unknown;
  readonly createdAt: number;
  /** Not tried before, epoch ms. */
  readonly dueAt: number;
  readonly attempts: number;
  readonly state: OutboxState;
  readonly lastFault: string | null;
  readonly endedAt: number | null;
}

export interface Outbox {
  /** Puts a message in; false when one of that key was there before, whatever became of it. */
  put(message: Pick<OutboxEntry, 'key' | 'target' | 'kind' | 'body' | 'createdAt' | 'dueAt'>): boolean;
  /** Waiting messages of a target that may be tried now, oldest first. */
  due(target: string, now: number, limit: number): OutboxEntry[];
  sent(id: number, at: number): void;
  /** A try that failed: tried again at `dueAt`, or given up where that is null. */
  failed(id: number, fault: string, at: number, dueAt: number | null): void;
  /** Newest first. */
  list(filter?: { state?: OutboxState; limit?: number }): OutboxEntry[];
  counts(): Record<OutboxState, number>;
  /** Forgets what ended before a time; what waits stays. @returns how many */
  forget(endedBefore: number): number;
}

interface Row extends Omit<OutboxEntry, 'body'> {
  readonly body: string;
}

const COLUMNS = `id, key, target, kind, body, created_at AS createdAt, due_at AS dueAt, attempts, state,
  last_fault AS lastFault, ended_at AS endedAt`;
const told = ({ body, ...row }: Row): OutboxEntry => ({ ...row, body: JSON.parse(body) });

/** What is still to be told, as a table: it outlives a restart. */
export class EmbeddedOutbox implements Outbox {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  put({ key, target, kind, body, createdAt, dueAt }: Parameters<Outbox['put']>[0]): boolean {
    return (
      this.#sql.run(
        `INSERT INTO outbox (key, target, kind, body, created_at, due_at) VALUES (?, ?, ?, ?, ?, ?)
         ON CONFLICT DO NOTHING`,
        ...[key, target, kind, JSON.stringify(body), createdAt, dueAt],
      ).changes > 0
    );
  }

  due(target: string, now: number, limit: number): OutboxEntry[] {
    return this.#sql
      .all<Row>(
        `SELECT ${COLUMNS} FROM outbox WHERE state = 'waiting' AND due_at <= ? AND target = ? ORDER BY id LIMIT ?`,
        ...[now, target, limit],
      )
      .map(told);
  }

  sent(id: number, at: number): void {
    this.#sql.run(
      "UPDATE outbox SET state = 'sent', attempts = attempts + 1, last_fault = NULL, ended_at = ? WHERE id = ?",
      ...[at, id],
    );
  }

  failed(id: number, fault: string, at: number, dueAt: number | null): void {
    this.#sql.run(
      `UPDATE outbox SET attempts = attempts + 1, last_fault = ?, state = ?, due_at = coalesce(?, due_at), ended_at = ?
       WHERE id = ?`,
      ...[fault, dueAt === null ? 'failed' : 'waiting', dueAt, dueAt === null ? at : null, id],
    );
  }

  list(filter: { state?: OutboxState; limit?: number } = {}): OutboxEntry[] {
    return this.#sql
      .all<Row>(
        `SELECT ${COLUMNS} FROM outbox WHERE state = coalesce(?, state) ORDER BY id DESC LIMIT ?`,
        ...[filter.state ?? null, filter.limit ?? -1],
      )
      .map(told);
  }

  counts(): Record<OutboxState, number> {
    const found: Record<OutboxState, number> = { waiting: 0, sent: 0, failed: 0 };
    for (const { state, n } of this.#sql.all<{ state: OutboxState; n: number }>(
      'SELECT state, count(*) AS n FROM outbox GROUP BY state',
    ))
      found[state] = n;
    return found;
  }

  forget(endedBefore: number): number {
    return this.#sql.run("DELETE FROM outbox WHERE state <> 'waiting' AND ended_at < ?", endedBefore).changes;
  }
}
