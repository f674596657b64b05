import { APART_SQL, KEPT_APART } from './apart.ts';
import { refusalPacks, refusalsFault, refusalsSpan, takeOldestPack } from './damaged-refusals.ts';
import { MetDamage } from './met-damage.ts';
import { decodeEntries, type KeptEntry } from './quarantine-pack.ts';
import type { Sql } from './sql.ts';
import type { Quarantine, QuarantineEntry, Refusal } from './store.ts';
import type { DamagedSpan } from './stored-readings.ts';

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
  readonly #damage: MetDamage;

  /** @param damaged what becomes of packs that are: they are left out in any case */
  constructor(sql: Sql, damaged: 'left out' | 'noted' = 'noted') {
    this.#sql = sql;
    this.#damage = new MetDamage(sql, damaged);
  }

  /**
   * @param limitBytes room for all entries together
   * @returns what is missing with packs that were damaged and had to go
   */
  add(refusals: readonly CutRefusal[], limitBytes: number): DamagedSpan[] {
    if (refusals.length === 0) return [];
    return this.#sql.write(() => {
      for (const refusal of refusals) this.#insert(refusal);
      return this.#dropOldest(limitBytes);
    });
  }

  list({
    reason,
    beforeId = Number.POSITIVE_INFINITY,
    limit = Number.POSITIVE_INFINITY,
  }: Filter = {}): QuarantineEntry[] {
    return this.#damage.reading(() => {
      const entries = this.#sql.all<QuarantineEntry>(
        `SELECT id, received_at AS receivedAt, topic, reason, detail, payload, payload_bytes AS payloadBytes FROM quarantine
         WHERE reason = coalesce(?, reason) AND id < ? ORDER BY id DESC LIMIT ?`,
        reason ?? null,
        beforeId,
        Number.isFinite(limit) ? limit : -1,
      );
      // What is kept apart is never packed: the two run side by side.
      const oldest = entries.length >= limit ? entries.at(-1)!.id : 0;
      let packed = 0;
      for (const { size: _, ...entry } of this.#packed(beforeId)) {
        if (packed >= limit || entry.id < oldest) break;
        if (reason !== undefined && entry.reason !== reason) continue;
        entries.push(entry);
        packed++;
      }
      entries.sort((left, right) => right.id - left.id);
      return entries.slice(0, limit);
    });
  }

  damaged(): DamagedSpan[] {
    return this.#damage.list([], { station: null, from: 0, to: Number.POSITIVE_INFINITY, kinds: ['refusals'] });
  }

  /** Packed entries with an id below `beforeId`, newest first. */
  *#packed(beforeId: number): Generator<KeptEntry> {
    for (const pack of refusalPacks(this.#sql, beforeId))
      for (const sound of this.#damage.sound([pack], refusalsFault, refusalsSpan))
        for (const entry of decodeEntries(sound).reverse()) if (entry.id < beforeId) yield entry;
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

  #dropOldest(limitBytes: number): DamagedSpan[] {
    const damaged: DamagedSpan[] = [];
    let total = this.#size();
    while (total > limitBytes) {
      const oldest = this.#takeOldest();
      if (oldest === null) break;
      if (!Array.isArray(oldest)) {
        damaged.push(oldest);
        // It has been counted out by whoever set it aside.
        total = this.#size();
        continue;
      }
      for (const { reason, size } of oldest) {
        this.#sql.run(
          'UPDATE quarantine_count SET kept = kept - 1, dropped = dropped + 1, size = size - ? WHERE reason = ?',
          size,
          reason,
        );
        total -= size;
      }
    }
    return damaged;
  }

  #size(): number {
    return (
      this.#sql.get<{ size: number | null }>(
        `SELECT sum(size) AS size FROM quarantine_count WHERE reason NOT IN ${APART_SQL}`,
      )?.size ?? 0
    );
  }

  /** Packs are older than all that is not packed. */
  #takeOldest(): { readonly reason: string; readonly size: number }[] | DamagedSpan | null {
    const packed = takeOldestPack(this.#sql);
    if (packed !== null && !Array.isArray(packed)) return packed;
    if (packed !== null) {
      for (const entry of packed) if (KEPT_APART.includes(entry.reason)) putBack(this.#sql, entry);
      return packed.filter(({ reason }) => !KEPT_APART.includes(reason));
    }
    const oldest = this.#sql.get<{ id: number; reason: string; size: number }>(
      // Reason by reason: what is kept apart may be long and old, and is not to be walked through.
      `SELECT id, reason, size FROM quarantine WHERE id = (
         SELECT min((SELECT min(id) FROM quarantine WHERE quarantine.reason = quarantine_count.reason))
         FROM quarantine_count WHERE reason NOT IN ${APART_SQL})`,
    );
    if (!oldest) return null;
    this.#sql.run('DELETE FROM quarantine WHERE id = ?', oldest.id);
    return [oldest];
  }
}

/** An entry of a pack that is let go of, as it was. */
function putBack(sql: Sql, { id, receivedAt, topic, reason, detail, payload, payloadBytes, size }: KeptEntry): void {
  sql.run(
    `INSERT INTO quarantine (id, received_at, topic, reason, detail, payload, payload_bytes, size) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
    ...[id, receivedAt, topic, reason, detail, payload, payloadBytes, size],
  );
}
