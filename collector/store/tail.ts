import { type Section, sectionsOf } from './batch.ts';
import type { Sql } from './sql.ts';

/** The tail as one connection last saw it: packs by station, kept packed; only what is new is read from the database. */
export class Tail {
  readonly #stations = new Map<string, Section[]>();
  #first = 0;
  #last = 0;

  /** Catches up with the database; call it within the transaction that reads the chunks too. */
  refresh(sql: Sql): void {
    const first = sql.get<{ seq: number | null }>('SELECT min(seq) AS seq FROM batch')?.seq ?? Number.POSITIVE_INFINITY;
    if (first > this.#first) this.#forgetBefore(first);
    this.#first = Number.isFinite(first) ? first : this.#first;
    for (const { seq, body } of sql.all<{ seq: number; body: Uint8Array }>(
      'SELECT seq, body FROM batch WHERE seq > ? ORDER BY seq',
      this.#last,
    )) {
      for (const section of sectionsOf(seq, body)) {
        const sections = this.#stations.get(section.station);
        if (sections) sections.push(section);
        else this.#stations.set(section.station, [section]);
      }
      this.#last = seq;
    }
  }

  /** Packs of a station after the batch `after`, in the order of commits. */
  sections(station: string, after: number): Section[] {
    return (this.#stations.get(station) ?? []).filter((section) => section.seq > after);
  }

  stations(): string[] {
    return [...this.#stations.keys()];
  }

  #forgetBefore(first: number): void {
    for (const [station, sections] of this.#stations) {
      const kept = sections.filter((section) => section.seq >= first);
      if (kept.length > 0) this.#stations.set(station, kept);
      else this.#stations.delete(station);
    }
  }
}
