import { headsOf, type Section, sectionsOf } from './batch.ts';
import { damagedSpans } from './damage.ts';
import { SectionLists } from './section-lists.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';
import { WaitingPacksTable } from './waiting-packs-table.ts';

/** Of packs that wait: behind every commit, so that whatever was committed for the same time stays. */
const LAST = Number.MAX_SAFE_INTEGER;

/** The tail as one connection last saw it: packs by station, kept packed; only what is new is read from the database. */
export class Tail {
  readonly #sections = new SectionLists();
  /** Those that wait, by their number; null where they are not wanted. */
  readonly #waiting: Map<number, Section[]> | null;
  #waitingTable: WaitingPacksTable | null = null;
  /** What is missing, by what is damaged; empty nearly always. */
  readonly #damaged = new Map<string, DamagedSpan[]>();
  #first = 0;
  #last = 0;

  /** @param withWaiting whether packs count that wait for their station's clock */
  constructor(withWaiting: boolean) {
    this.#waiting = withWaiting ? new Map() : null;
  }

  /** Catches up with the database; call it within the transaction that reads the chunks too. */
  refresh(sql: Sql): void {
    const first = sql.get<{ seq: number | null }>('SELECT min(seq) AS seq FROM batch')?.seq ?? Number.POSITIVE_INFINITY;
    if (first > this.#first) this.#sections.forgetBefore(first);
    this.#first = Number.isFinite(first) ? first : this.#first;
    for (const { seq, body } of sql.all<{ seq: number; body: Uint8Array }>(
      'SELECT seq, body FROM batch WHERE seq > ? ORDER BY seq',
      this.#last,
    )) {
      const read = headsOf(seq, body);
      if (read === null) this.#damaged.set(`batch ${seq}`, damagedSpans(`batch ${seq}`, seq, body));
      else this.#sections.add(read.batch, read.heads);
      this.#last = seq;
    }
    this.#refreshWaiting(sql);
  }

  /** Packs of a station after the batch `after`, in the order of commits. */
  sections(station: string, after: number): Section[] {
    const all = this.#sections.of(station);
    let first = 0;
    while (first < all.length && all.seqAt(first) <= after) first++;
    const sections = all.slice(first);
    for (const waiting of this.#waiting?.values() ?? [])
      for (const section of waiting) if (section.station === station) sections.push(section);
    return sections;
  }

  /** What it has met that is damaged, as far as it is not set aside. */
  damaged(): DamagedSpan[] {
    return [...this.#damaged.values()].flat();
  }

  stations(): string[] {
    const stations = new Set(this.#sections.stations);
    for (const waiting of this.#waiting?.values() ?? []) for (const { station } of waiting) stations.add(station);
    return [...stations];
  }

  #refreshWaiting(sql: Sql): void {
    const waiting = this.#waiting;
    if (waiting === null) return;
    this.#waitingTable ??= new WaitingPacksTable(sql);
    const ids = new Set(this.#waitingTable.ids());
    for (const id of waiting.keys())
      if (!ids.has(id)) {
        waiting.delete(id);
        this.#damaged.delete(`waiting pack ${id}`);
      }
    if (ids.size === waiting.size) return;
    const newest = [...waiting.keys()].at(-1) ?? 0;
    for (const { id, body } of this.#waitingTable.list(newest))
      waiting.set(id, this.#waitingSections(`waiting pack ${id}`, body));
  }

  #waitingSections(what: string, body: Uint8Array): Section[] {
    const sections = sectionsOf(LAST, body);
    if (sections === null) this.#damaged.set(what, damagedSpans(what, LAST, body));
    return sections ?? [];
  }
}
