import { AppError } from '../contract/errors.ts';
import { APART_SQL } from './apart.ts';
import { ByteWriter } from './bytes.ts';
import { deflated, inflated } from './deflated.ts';
import type { Sql } from './sql.ts';
import type { QuarantineEntry } from './store.ts';

const VERSION = 1;

/** Room of the entries of one pack before they are packed, bytes. Source: own choice: the oldest packs are dropped whole. */
const PACK_BYTES = 64 * 1024;

/** An entry as it lies in the store: with its share of the room. */
export interface KeptEntry extends QuarantineEntry {
  readonly size: number;
}

export interface PackRow {
  readonly firstId: number;
  readonly lastId: number;
  readonly entries: number;
  readonly body: Uint8Array;
}

/** Moves all refusals into packs: nothing of them is lost, and payloads that are much alike take little room. */
export function packQuarantine(sql: Sql): void {
  while (sql.write(() => packOldest(sql)));
}

/** @returns false when there is nothing left to pack */
function packOldest(sql: Sql): boolean {
  const entries = sql.all<KeptEntry>(
    `SELECT id, received_at AS receivedAt, topic, reason, detail, payload, payload_bytes AS payloadBytes, size FROM quarantine
     WHERE reason NOT IN ${APART_SQL} ORDER BY id LIMIT ${PACK_BYTES / 64}`,
  );
  if (entries.length === 0) return false;
  let count = 0;
  for (let bytes = 0; count < entries.length && (count === 0 || bytes < PACK_BYTES); count++)
    bytes += (entries[count] as KeptEntry).size;
  const packed = entries.slice(0, count);
  const [first, last] = [packed[0] as KeptEntry, packed.at(-1) as KeptEntry];
  sql.run(
    'INSERT INTO quarantine_pack (first_id, last_id, entries, body) VALUES (?, ?, ?, ?)',
    ...[first.id, last.id, count, encodeEntries(packed)],
  );
  sql.run(`DELETE FROM quarantine WHERE id <= ? AND reason NOT IN ${APART_SQL}`, last.id);
  return true;
}

/** By entry: varints of what its id is more than the one before, time, bytes of the whole payload and size; then its texts and payload, each after its length. */
function encodeEntries(entries: readonly KeptEntry[]): Buffer {
  const out = new ByteWriter();
  let before = 0;
  for (const { id, receivedAt, topic, reason, detail, payload, payloadBytes, size } of entries) {
    for (const whole of [id - before, receivedAt, payloadBytes, size]) out.varint(whole);
    before = id;
    for (const bytes of [...[topic, reason, detail].map((text) => Buffer.from(text, 'utf8')), payload]) {
      out.varint(bytes.length);
      out.bytes(bytes);
    }
  }
  return deflated(VERSION, out, 'tightest');
}

/** Ascending. @throws {AppError} STORE_UNUSABLE where the pack is damaged */
export function decodeEntries({ entries, body }: PackRow): KeptEntry[] {
  try {
    const input = inflated(VERSION, body);
    const text = (): string => Buffer.from(input.bytes(input.varint())).toString('utf8');
    let before = 0;
    return Array.from({ length: entries }, () => {
      const id = before + input.varint();
      before = id;
      const [receivedAt, payloadBytes, size] = [input.varint(), input.varint(), input.varint()];
      const [topic, reason, detail] = [text(), text(), text()];
      return { id, receivedAt, topic, reason, detail, payload: input.bytes(input.varint()), payloadBytes, size };
    });
  } catch (error) {
    throw new AppError(
      'STORE_UNUSABLE',
      `a pack of refusals in the store is damaged: ${error instanceof Error ? error.message : String(error)}; restore a backup`,
      {
        cause: error,
      },
    );
  }
}
