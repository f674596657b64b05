import type { Shown } from '../decode/mapped/local-time.ts';

/** Rows of one kind, and the first of them. */
export interface RowCount {
  readonly count: number;
  /** Null where there is none. */
  readonly firstLine: number | null;
}

/** Rows whose local time a clock never showed, or showed twice: what was taken for them may be an hour off. */
export interface LocalHours {
  readonly zone: string;
  /** In the hour that spring leaves out; the clock was taken to have run on. */
  readonly never: RowCount;
  /** In the hour that autumn repeats; taken as the first time round until the times of the file went back. */
  readonly twice: RowCount;
}

/** Counts the rows of a file by how often the clock showed their time. */
export class LocalHourTally {
  readonly #counts = { never: 0, twice: 0 };
  readonly #first: { never: number | null; twice: number | null } = { never: null, twice: null };

  /** @param line of the row; the file's first is 1 */
  add(shown: Shown, line: number): void {
    if (shown === 'once') return;
    this.#counts[shown]++;
    this.#first[shown] ??= line;
  }

  /** Null where the clock showed each time once. */
  told(zone: string | undefined): LocalHours | null {
    const { never, twice } = this.#counts;
    if (zone === undefined || never + twice === 0) return null;
    return {
      zone,
      never: { count: never, firstLine: this.#first.never },
      twice: { count: twice, firstLine: this.#first.twice },
    };
  }
}

/**
 * What is to be known of such rows, a sentence each.
 *
 * @example
 * const none = { count: 0, firstLine: null };
 * localHoursText({ zone: 'Europe/Vienna', never: { count: 1, firstLine: 4 }, twice: none }).length; // 1
 */
export function localHoursText({ zone, never, twice }: LocalHours): string[] {
  const rows = ({ count, firstLine }: RowCount): string =>
    count === 1 ? `1 row, on line ${firstLine}, has` : `${count} rows, first on line ${firstLine}, have`;
  return [
    ...(never.count === 0
      ? []
      : [
          `${rows(never)} a time that the clock of ${zone} leaves out in spring; taken as if it had run on, so that 02:30 counts as 03:30`,
        ]),
    ...(twice.count === 0
      ? []
      : [
          `${rows(twice)} a time that the clock of ${zone} shows twice in autumn; taken as the first time round until the times go back`,
        ]),
  ];
}
