import type { Section } from './batch.ts';
import { gather } from './gather.ts';

/** Times that are further apart belong to two spans, ms. Source: own choice: a late reading must not span a year. */
const GAP_MS = 10 * 60_000;

/** Readings of a station in [from, to). */
export interface Span {
  readonly station: string;
  readonly from: number;
  readonly to: number;
}

/** The spans of time that packs of one station have readings in, ascending. */
export function spansOf(station: string, sections: readonly Section[]): Span[] {
  const { times, rows } = gather(sections, 0, Number.POSITIVE_INFINITY, () => 0, null);
  const spans: Span[] = [];
  let first = 0;
  for (let row = 1; row <= rows; row++) {
    if (row < rows && times[row]! - times[row - 1]! <= GAP_MS) continue;
    spans.push({ station, from: times[first]!, to: times[row - 1]! + 1 });
    first = row;
  }
  return spans;
}
