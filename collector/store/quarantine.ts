import { packedEntries, takeOldestPack } from './quarantine-pack.ts';
import type { Sql } from './sql.ts';
import type { Quarantine, QuarantineEntry, Refusal } from './store.ts';

/** Room that an entry takes beside its texts and payload. Source: estimate of a row and its index entry in SQLite. */
const ROW_BYTES = 64;

/** Bytes of a refused payload that are kept. Source: own choice: shows any pack's head and most packs whole. */
export const PAYLOAD_BYTES = 4096;

/** A refusal with no more of its payload than is kept, in memory of its own. */
export interface CutRefusal extends Refusal {
  readonly payloadBytes: number;
}

export function cutRefusal(refusal: Refusal): CutRefusal {
  const { receivedAt, topic, reason, detail, payload } = refusal;
  return {
    receivedAt,
    topic,
    reason,
    detail,
    payload: Uint8Array.from(payload.subarray(0, PAYLOAD_BYTES)),
    payloadBytes: payload.length,
  };
}

type Filter = NonNullable<Parameters<Quarantine['list']>[0]>;

/** What was refused, as a table of bounded size: the oldest are dropped, and counted as dropped. */
export class EmbeddedQuarantine implements Quarantine {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** @param limitBytes room for all entries together */
  add(refusals: readonly CutRefusal[], limitBytes: number): void {
    if (refusals.length === 0) return;
    this.#sql.write(() => {
      for (const refusal of refusals) this.#insert(refusal);
      this.#dropOldest(limitBytes);
    });
  }

  list({
    reason,
    beforeId = Number.POSITIVE_INFINITY,
    limit = Number.POSITIVE_INFINITY,
  }: Filter = {}): QuarantineEntry[] {
    return this.#sql.read(() => {
      const entries = this.#sql.all<QuarantineEntry>(
        `SELECT id, received_at AS receivedAt, topic, reason, detail, payload, payload_bytes AS payloadBytes FROM quarantine
         WHERE reason = coalesce(?, reason) AND id < ? ORDER BY id DESC LIMIT ?`,
        reason ?? null,
        beforeId,
        Number.isFinite(limit) ? limit : -1,
      );
      if (entries.length >= limit) return entries;
      for (const { size: _, ...entry } of packedEntries(this.#sql, beforeId)) {
        if (reason === undefined || entry.reason === reason) entries.push(entry);
        if (entries.length >= limit) break;
      }
      return entries;
    });
  }

  counts(): { reason: string; received: number; kept: number; dropped: number }[] {
    return this.#sql.all('SELECT reason, received, kept, dropped FROM quarantine_count ORDER BY reason');
  }

  #insert({ receivedAt, topic, reason, detail, payload, payloadBytes }: CutRefusal): void {
    const size = ROW_BYTES + 2 * (topic.length + reason.length + detail.length) + payload.length;
    this.#sql.run(
      `INSERT INTO quarantine (received_at, topic, reason, detail, payload, payload_bytes, size) VALUES (?, ?, ?, ?, ?, ?, ?)`,
      receivedAt,
      topic,
      reason,
      detail,
      payload,
      payloadBytes,
      size,
    );
    this.#sql.run(
      `INSERT INTO quarantine_count (reason, received, kept, dropped, size) VALUES (?, 1, 1, 0, ?)
       ON CONFLICT DO UPDATE SET received = received + 1, kept = kept + 1, size = size + excluded.size`,
      reason,
      size,
    );
  }

  #dropOldest(limitBytes: number): void {
    let total = this.#sql.get<{ size: number | null }>('SELECT sum(size) AS size FROM quarantine_count')?.size ?? 0;
    while (total > limitBytes) {
      const oldest = this.#takeOldest();
      if (oldest.length === 0) return;
      for (const { reason, size } of oldest) {
        this.#sql.run(
          'UPDATE quarantine_count SET kept = kept - 1, dropped = dropped + 1, size = size - ? WHERE reason = ?',
          size,
          reason,
        );
        total -= size;
      }
    }
  }

  /** Packs are older than all that is not packed. */
  #takeOldest(): { readonly reason: string; readonly size: number }[] {
    const packed = takeOldestPack(this.#sql);
    if (packed.length > 0) return packed;
    const oldest = this.#sql.get<{ id: number; reason: string; size: number }>(
      'SELECT id, reason, size FROM quarantine ORDER BY id LIMIT 1',
    );
    if (!oldest) return [];
    this.#sql.run('DELETE FROM quarantine WHERE id = ?', oldest.id);
    return [oldest];
  }
}
