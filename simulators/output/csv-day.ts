import type { Sent } from '../sensors/transport.ts';
import type { CsvRows } from './csv-rows.ts';

/** A report that a writer keeps for later: where it stands. */
interface Kept {
  readonly sent: Sent;
  readonly place: number;
}

/**
 * Writes a day's reports in the order in which they were sent; late ones are handed back instead.
 *
 * @returns count of rows written, and the late reports
 */
export function writeDay(rows: CsvRows, stations: readonly Sent[]): { written: number; late: Kept[] } {
  const places = stations.map(() => 0);
  const late: Kept[] = [];
  let written = 0;
  for (;;) {
    let next = -1;
    let earliest = Number.POSITIVE_INFINITY;
    for (let index = 0; index < stations.length; index++) {
      const { stamps } = stations[index]!;
      const place = places[index]!;
      if (place < stamps.length && stamps[place]! < earliest) {
        earliest = stamps[place]!;
        next = index;
      }
    }
    if (next < 0) return { written, late };
    const sent = stations[next]!;
    const place = places[next]!++;
    if (sent.late[place] === 1) late.push({ sent, place });
    else {
      rows.row(sent.frames, sent.rows[place]!, earliest);
      written++;
    }
  }
}

/** Writes the late reports of a day, latest first: as a node empties its memory. */
export function writeLate(rows: CsvRows, late: readonly Kept[]): number {
  for (let index = late.length - 1; index >= 0; index--) {
    const { sent, place } = late[index]!;
    rows.row(sent.frames, sent.rows[place]!, sent.stamps[place]!);
  }
  return late.length;
}
