import { DamageTable, faultOf } from './damage.ts';
import { decodeEntries, type KeptEntry, type PackRow } from './quarantine-pack.ts';
import { keepAside } from './set-aside.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';

const REFUSAL_PACK = 'first_id AS firstId, last_id AS lastId, entries, body';

/** What a pack of refusals holds, ascending, or how it is damaged. */
function opened(pack: PackRow): KeptEntry[] | string {
  let entries: KeptEntry[] = [];
  const fault = faultOf(() => {
    entries = decodeEntries(pack);
  });
  return fault ?? entries;
}

/** How a pack of refusals is damaged; null where it is not. */
export function refusalsFault(pack: PackRow): string | null {
  const found = opened(pack);
  return typeof found === 'string' ? found : null;
}

/** What a damaged pack of refusals is missing: of whom and from when they were is within. */
export function refusalsSpan({ firstId, lastId }: PackRow, fault: string): DamagedSpan {
  const what = `refusals ${firstId} to ${lastId}`;
  return { kind: 'refusals', what, station: '', from: 0, to: 0, fault, certain: true };
}

/** Packs of refusals, one at a time, newest first. */
export function* refusalPacks(sql: Sql, beforeId = Number.MAX_SAFE_INTEGER): Generator<PackRow, undefined> {
  for (let before = beforeId; ; ) {
    const pack = sql.get<PackRow>(
      `SELECT ${REFUSAL_PACK} FROM quarantine_pack WHERE first_id < ? ORDER BY first_id DESC LIMIT 1`,
      before,
    );
    if (pack === undefined) return;
    yield pack;
    before = pack.firstId;
  }
}

/** Takes the oldest pack away. @returns what it held, or what is missing with it where it was damaged and is set aside now; null when there is none */
export function takeOldestPack(sql: Sql): KeptEntry[] | DamagedSpan | null {
  const pack = sql.get<PackRow>(`SELECT ${REFUSAL_PACK} FROM quarantine_pack ORDER BY first_id LIMIT 1`);
  if (pack === undefined) return null;
  const found = opened(pack);
  if (typeof found === 'string') return setAsidePack(sql, pack, found);
  sql.run('DELETE FROM quarantine_pack WHERE first_id = ?', pack.firstId);
  return found;
}

/** Sets aside every pack of refusals that is damaged, whether a reader has met it or not. @returns what is missing with them */
export function setAsideDamagedRefusals(sql: Sql): DamagedSpan[] {
  return sql.write(() =>
    [...refusalPacks(sql)].flatMap((pack) => {
      const fault = refusalsFault(pack);
      return fault === null ? [] : [setAsidePack(sql, pack, fault)];
    }),
  );
}

/** At the start of a writer: where a reader has met any. */
export function setAsideRefusals(sql: Sql): DamagedSpan[] {
  return new DamageTable(sql).list(null, ['refusals']).length === 0 ? [] : setAsideDamagedRefusals(sql);
}

/** Within the caller's transaction. Its entries count as dropped. */
function setAsidePack(sql: Sql, pack: PackRow, fault: string): DamagedSpan {
  const span = refusalsSpan(pack, fault);
  keepAside(sql, span.what, pack.body, [span]);
  sql.run('DELETE FROM quarantine_pack WHERE first_id = ?', pack.firstId);
  recount(sql);
  return span;
}

/** Nobody can tell any more what reasons they had: what is left is counted anew, or the room would be taken by what is not there. */
function recount(sql: Sql): void {
  const left = new Map<string, { kept: number; size: number }>();
  const add = (reason: string, kept: number, size: number): void => {
    const sum = left.get(reason) ?? { kept: 0, size: 0 };
    left.set(reason, { kept: sum.kept + kept, size: sum.size + size });
  };
  for (const { reason, kept, size } of sql.all<{ reason: string; kept: number; size: number }>(
    'SELECT reason, count(*) AS kept, sum(size) AS size FROM quarantine GROUP BY reason',
  ))
    add(reason, kept, size);
  for (const pack of refusalPacks(sql)) {
    const found = opened(pack);
    if (typeof found !== 'string') for (const { reason, size } of found) add(reason, 1, size);
  }
  for (const { reason } of sql.all<{ reason: string }>('SELECT reason FROM quarantine_count')) {
    const { kept, size } = left.get(reason) ?? { kept: 0, size: 0 };
    sql.run(
      'UPDATE quarantine_count SET dropped = received - ?, kept = ?, size = ? WHERE reason = ?',
      ...[kept, kept, size, reason],
    );
  }
}
