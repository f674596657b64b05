import { RUN_FIELDS, type RunField, type RunTable } from '../contract/runs.ts';
import { LARGEST_TIME } from './batch.ts';
import { chunkKey } from './chunk-table.ts';
import { RUN_CHUNK, type RunChunk, runsFault, runsFoundAnew, runsSpan, soundRuns } from './damaged-runs.ts';
import type { Packing } from './deflated.ts';
import { type DamagedReadings, MetDamage } from './met-damage.ts';
import { decodeRuns, encodeRuns } from './run-chunk.ts';
import { emptyRuns, joinRuns, runColumns, runsBetween } from './run-table.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan, Runs } from './store.ts';

/** Runs of a full chunk. Source: own choice: some 100 kB, quick to load by the hundred thousand. */
const FULL = 1024;
/** Up to here the last chunk is written anew for each new run. Source: own choice: a fraction of a millisecond. */
const OPEN = 128;

/** Spray runs as compressed column chunks of each gun. */
export class EmbeddedRuns implements Runs {
  readonly #sql: Sql;
  readonly #packing: Packing;
  readonly #damage: MetDamage;

  constructor(sql: Sql, packing: Packing = 'quick', damaged: DamagedReadings = 'noted') {
    this.#sql = sql;
    this.#packing = packing;
    this.#damage = new MetDamage(sql, damaged);
  }

  damaged(gun?: string, from = 0, to = Number.POSITIVE_INFINITY): DamagedSpan[] {
    return this.#damage.list([], { station: gun ?? null, from, to, kinds: ['spray runs'] });
  }

  load(gun: string, from = 0, to = Number.POSITIVE_INFINITY, fields: readonly RunField[] = RUN_FIELDS): RunTable {
    return this.#damage.reading(() => {
      this.#damage.refuse([], 'spray runs', gun, from, to);
      const id = this.#gunId(gun);
      if (id === null) return emptyRuns(gun);
      const end = to > LARGEST_TIME ? chunkKey(id + 1, 0) : chunkKey(id, Math.max(0, Math.ceil(to)));
      const chunks = this.#sql.all<RunChunk>(
        `SELECT ${RUN_CHUNK} FROM run_chunk WHERE key >= ? AND key < ? AND last_ms >= ? ORDER BY key`,
        chunkKey(id, 0),
        end,
        from,
      );
      return runsBetween(this.#unpack(gun, chunks, fields), from, to);
    });
  }

  replace(gun: string, from: number, table: RunTable): void {
    checkStarts(gun, from, table);
    this.#sql.write(() => {
      this.#put(gun, from, table);
      runsFoundAnew(this.#sql, gun, from);
    });
  }

  /** Packs a gun's runs anew; those that are damaged are set aside. */
  repack(gun: string): void {
    this.#sql.write(() => {
      const id = this.#gunId(gun);
      if (id === null) return;
      const chunks = this.#chunksFrom(id, 0);
      const sound = soundRuns(this.#sql, id, gun, chunks);
      this.#put(gun, 0, unpack(gun, sound));
    });
  }

  /** Within the caller's transaction. */
  #put(gun: string, from: number, table: RunTable): void {
    const id = this.#gunId(gun) ?? this.#sql.run('INSERT INTO run_gun (name) VALUES (?)', gun).id;
    const replaced = this.#chunksFrom(id, from);
    // Only the first of them can hold runs that stay.
    const opened = replaced.slice(0, 1).filter(({ first }) => first < from);
    const kept = runsBetween(unpack(gun, soundRuns(this.#sql, id, gun, opened)), 0, from);
    const open = this.#openBefore(id, replaced[0]?.first ?? LARGEST_TIME, kept.length + table.length);
    const before = soundRuns(this.#sql, id, gun, open);
    for (const { first } of [...before, ...replaced])
      this.#sql.run('DELETE FROM run_chunk WHERE key = ?', chunkKey(id, first));
    this.#insert(id, joinRuns(gun, [unpack(gun, before), kept, table]));
  }

  #chunksFrom(id: number, from: number): RunChunk[] {
    return this.#sql.all<RunChunk>(
      `SELECT ${RUN_CHUNK} FROM run_chunk WHERE key >= ? AND key < ? AND last_ms >= ? ORDER BY key`,
      chunkKey(id, 0),
      chunkKey(id + 1, 0),
      from,
    );
  }

  guns(): string[] {
    return this.#sql.all<{ name: string }>('SELECT name FROM run_gun ORDER BY name').map(({ name }) => name);
  }

  span(gun: string): { readonly from: number; readonly to: number } | null {
    return this.#damage.reading(() => {
      const id = this.#gunId(gun);
      if (id === null) return null;
      const end = (order: 'ASC' | 'DESC'): RunChunk | undefined =>
        this.#sql.get<RunChunk>(
          `SELECT ${RUN_CHUNK} FROM run_chunk WHERE key >= ? AND key < ? ORDER BY key ${order} LIMIT 1`,
          chunkKey(id, 0),
          chunkKey(id + 1, 0),
        );
      const [first, last] = [end('ASC'), end('DESC')];
      if (first === undefined || last === undefined) return null;
      const { columns, length } = this.#unpack(gun, [last], ['start', 'end']);
      if (length === 0) return { from: first.first, to: last.last };
      const [start, ended] = [columns.start[length - 1]!, columns.end[length - 1]!];
      return { from: first.first, to: Number.isNaN(ended) ? start : Math.max(start, ended) };
    });
  }

  /** The chunks before a time that are written anew with `coming` runs after them: the open one, or all small ones when they fill one. */
  #openBefore(id: number, time: number, coming: number): RunChunk[] {
    const last = this.#sql.all<RunChunk>(
      `SELECT ${RUN_CHUNK} FROM run_chunk WHERE key >= ? AND key < ? ORDER BY key DESC LIMIT ${FULL / OPEN + 1}`,
      chunkKey(id, 0),
      chunkKey(id, time),
    );
    const full = last.findIndex((chunk) => chunk.runs >= FULL);
    const small = full < 0 ? last : last.slice(0, full);
    const runs = small.reduce((sum, chunk) => sum + chunk.runs, coming);
    if (runs >= FULL) return small.reverse();
    return small.slice(0, 1).filter((chunk) => chunk.runs < OPEN);
  }

  #insert(id: number, table: RunTable): void {
    for (let from = 0; from < table.length; from += FULL) {
      const to = Math.min(from + FULL, table.length);
      this.#sql.run(
        'INSERT INTO run_chunk (key, last_ms, runs, body) VALUES (?, ?, ?, ?)',
        chunkKey(id, table.columns.start[from] as number),
        table.columns.start[to - 1] as number,
        to - from,
        encodeRuns(table, from, to, this.#packing),
      );
    }
  }

  /** Without those that are damaged where these are left out. @throws {AppError} READINGS_DAMAGED */
  #unpack(gun: string, chunks: readonly RunChunk[], fields?: readonly RunField[]): RunTable {
    try {
      return unpack(gun, chunks, fields);
    } catch {
      return unpack(
        gun,
        this.#damage.sound(chunks, runsFault, (one, fault) => runsSpan(gun, one, fault)),
        fields,
      );
    }
  }

  #gunId(gun: string): number | null {
    return this.#sql.get<{ id: number }>('SELECT id FROM run_gun WHERE name = ?', gun)?.id ?? null;
  }
}

function unpack(gun: string, chunks: readonly RunChunk[], fields: readonly RunField[] = RUN_FIELDS): RunTable {
  const length = chunks.reduce((sum, chunk) => sum + chunk.runs, 0);
  const columns = runColumns(length, fields);
  const wanted = Object.fromEntries(fields.map((field) => [field, columns[field]]));
  const powders: string[] = [];
  const numbers = new Map<string, number>();
  const powderNumber = (powder: string): number => {
    let number = numbers.get(powder);
    if (number === undefined) {
      number = powders.push(powder) - 1;
      numbers.set(powder, number);
    }
    return number;
  };
  let at = 0;
  for (const chunk of chunks) {
    decodeRuns(chunk.body, chunk.runs, wanted, at, powderNumber);
    at += chunk.runs;
  }
  return { gun, length, columns, powders };
}

function checkStarts(gun: string, from: number, table: RunTable): void {
  let before = from - 1;
  for (let i = 0; i < table.length; i++) {
    const start = table.columns.start[i] as number;
    if (!(start > before && Number.isInteger(start) && start >= 0 && start <= LARGEST_TIME))
      throw new RangeError(`runs of ${gun}: start ${start} of run ${i}, expected a whole number of ms after ${before}`);
    before = start;
  }
}
