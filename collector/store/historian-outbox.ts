import { LARGEST_TIME, type Section, sectionsOf } from './batch.ts';
import type { SectionLists } from './section-lists.ts';
import { type Span, spansOf } from './spans.ts';
import type { Sql } from './sql.ts';

/** Bytes of the tail that are looked at in one go. Source: own choice: some thousand readings. */
const TAIL_BYTES = 256 * 1024;

/** Readings in chunks that wait, with the number that settles them. */
export interface WaitingSpan extends Span {
  readonly id: number;
}

/** What a finding is known by. */
interface NotedFinding {
  readonly gun: string | null;
  readonly cause: string;
  readonly raised: string;
}

/** Something else that waits: the runs of a gun in [from, to], or a finding. */
export type WaitingNote =
  | { readonly id: number; readonly kind: 'run'; readonly gun: string; readonly from: number; readonly to: number }
  | { readonly id: number; readonly kind: 'finding'; readonly key: NotedFinding };

/**
 * What the historian has not got. It is part of the store, so that it survives whatever the store does: readings in the tail
 * after `sent_seq`, spans of readings in chunks, and notes of runs and findings that the store itself makes with them.
 */
export interface HistorianOutbox {
  /** Begins for a target; for another one than before, all that the store holds waits anew. */
  begin(target: string): void;
  /** Ends it. @returns how much waited */
  end(): number;
  waiting(): number;
  nextSpan(): WaitingSpan | null;
  /** Readings up to `from` are there; with the whole span there, it no longer waits. */
  sentSpan(span: WaitingSpan, from: number): void;
  /** The next readings of the tail, and the batch up to which they go; null when there are none. */
  nextOfTail(): { readonly seq: number; readonly spans: Span[] } | null;
  sentTail(seq: number): void;
  nextNotes(limit: number): WaitingNote[];
  sentNotes(ids: readonly number[]): void;
}

export class EmbeddedHistorianOutbox implements HistorianOutbox {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  begin(target: string): void {
    this.#sql.write(() => {
      if (this.#sql.get<{ target: string }>('SELECT target FROM historian')?.target === target) return;
      this.end();
      this.#sql.run('INSERT INTO historian (id, target, sent_seq) VALUES (1, ?, 0)', target);
      this.#sql.run(
        'INSERT INTO historian_span (station, from_ms, to_ms) SELECT name, first_ms, last_ms + 1 FROM station ORDER BY first_ms',
      );
      this.#sql.run(
        "INSERT INTO historian_note (kind, subject) SELECT 'run', CAST(key AS TEXT) FROM run_chunk ORDER BY key",
      );
      this.#sql.run(
        "INSERT INTO historian_note (kind, subject) SELECT 'finding', raised || ' ' || cause || ' ' || gun FROM finding ORDER BY raised",
      );
    });
  }

  end(): number {
    const waiting = this.waiting();
    this.#sql.write(() => {
      for (const table of ['historian', 'historian_span', 'historian_note']) this.#sql.run(`DELETE FROM ${table}`);
    });
    return waiting;
  }

  waiting(): number {
    const counted = this.#sql.get<{ n: number }>(
      `SELECT (SELECT count(*) FROM historian_span) + (SELECT count(*) FROM historian_note)
         + (SELECT count(*) FROM batch WHERE seq > coalesce((SELECT sent_seq FROM historian), ${Number.MAX_SAFE_INTEGER})) AS n`,
    );
    return counted?.n ?? 0;
  }

  nextSpan(): WaitingSpan | null {
    const span = this.#sql.get<WaitingSpan>(
      'SELECT id, station, from_ms AS "from", to_ms AS "to" FROM historian_span ORDER BY id LIMIT 1',
    );
    return span ?? null;
  }

  sentSpan({ id, to }: WaitingSpan, from: number): void {
    if (from >= to) this.#sql.run('DELETE FROM historian_span WHERE id = ?', id);
    else this.#sql.run('UPDATE historian_span SET from_ms = ? WHERE id = ?', from, id);
  }

  nextOfTail(): { seq: number; spans: Span[] } | null {
    return this.#sql.read(() => {
      const sent =
        this.#sql.get<{ seq: number }>('SELECT sent_seq AS seq FROM historian')?.seq ?? Number.MAX_SAFE_INTEGER;
      const sections = new Map<string, Section[]>();
      let last: number | null = null;
      let bytes = 0;
      for (const { seq, size } of this.#sql.all<{ seq: number; size: number }>(
        'SELECT seq, length(body) AS size FROM batch WHERE seq > ? ORDER BY seq LIMIT 1000',
        sent,
      )) {
        if (bytes > 0 && bytes + size > TAIL_BYTES) break;
        bytes += size;
        last = seq;
        const batch = this.#sql.get<{ body: Uint8Array }>('SELECT body FROM batch WHERE seq = ?', seq);
        for (const section of (batch && sectionsOf(seq, batch.body)) ?? [])
          sections.set(section.station, [...(sections.get(section.station) ?? []), section]);
      }
      return last === null
        ? null
        : { seq: last, spans: [...sections].flatMap(([station, list]) => spansOf(station, list)) };
    });
  }

  sentTail(seq: number): void {
    this.#sql.run('UPDATE historian SET sent_seq = max(sent_seq, ?)', seq);
  }

  nextNotes(limit: number): WaitingNote[] {
    const notes: WaitingNote[] = [];
    const gone: number[] = [];
    for (const { id, kind, subject } of this.#sql.all<{ id: number; kind: string; subject: string }>(
      'SELECT id, kind, subject FROM historian_note ORDER BY id LIMIT ?',
      limit,
    )) {
      const note = kind === 'run' ? this.#runNote(id, subject) : findingNote(id, subject);
      if (note === null) gone.push(id);
      else notes.push(note);
    }
    // Runs that were replaced since have notes of their own.
    if (gone.length > 0) this.sentNotes(gone);
    return notes;
  }

  sentNotes(ids: readonly number[]): void {
    this.#sql.write(() => {
      for (const id of ids) this.#sql.run('DELETE FROM historian_note WHERE id = ?', id);
    });
  }

  #runNote(id: number, subject: string): WaitingNote | null {
    const row = this.#sql.get<{ gun: string; from: number; to: number }>(
      `SELECT name AS gun, key & ${LARGEST_TIME} AS "from", last_ms AS "to" FROM run_chunk JOIN run_gun ON run_gun.id = key >> 43
       WHERE key = ?`,
      BigInt(subject),
    );
    return row ? { id, kind: 'run', ...row } : null;
  }
}

function findingNote(id: number, subject: string): WaitingNote {
  const [raised = '', cause = '', gun = ''] = subject.split(' ');
  return {
    id,
    kind: 'finding',
    key: { gun: gun === '' ? null : gun, cause, raised: new Date(Number(raised)).toISOString() },
  };
}

/** In the transaction that lets go of batches: what of them the historian has not got waits as spans from now on. */
export function keepUnsent(sql: Sql, lists: Pick<SectionLists, 'of' | 'stations'>): void {
  const sent = sql.get<{ seq: number }>('SELECT sent_seq AS seq FROM historian')?.seq;
  if (sent === undefined) return;
  for (const station of lists.stations)
    for (const { from, to } of spansOf(
      station,
      lists
        .of(station)
        .slice(0)
        .filter(({ seq }) => seq > sent),
    ))
      sql.run('INSERT INTO historian_span (station, from_ms, to_ms) VALUES (?, ?, ?)', station, from, to);
}
