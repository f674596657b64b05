import { TextDecoder } from 'node:util';
import type { Plant } from '../contract/index.ts';
import { columnNames, plainHeading } from './column-names.ts';
import { encodingOf, type HeadRow, headRows } from './head-rows.ts';
import type { ImportMapping } from './import-mapping.ts';
import { offeredDecimal } from './number-text.ts';
import { type OfferedColumn, offerColumn, stationIn } from './offer-column.ts';
import { offerTime } from './offer-time.ts';
import { refuseNoText } from './refuse-no-text.ts';

const DELIMITERS = [',', ';', '\t', '|'] as const;
/** Rows looked at. Source: own choice, because a day's change of month shows in none of them anyway. */
const SAMPLES = 20;

/** What a file seems to be, for a person to correct. */
export interface OfferedMapping extends Pick<ImportMapping, 'delimiter' | 'encoding' | 'skipLines'> {
  /** Null where the numbers may be read either way, and `eitherWay` is one of them. */
  readonly decimal: ImportMapping['decimal'] | null;
  readonly eitherWay: string | null;
  /** True for the form that `export readings` writes, which needs no mapping. */
  readonly own: boolean;
  readonly headings: readonly string[];
  /** First rows, by column of `headings`. */
  readonly samples: readonly (readonly string[])[];
  readonly time: ImportMapping['time'] | null;
  /** Gun of the whole file, or the column that names it, with names there that are no ids; null where that is still to say, or each column has its own. */
  readonly gun:
    | string
    | { readonly column: string; readonly names: Readonly<Record<string, string>>; readonly found: readonly string[] }
    | null;
  /** One for each heading that is not used for time or gun. */
  readonly columns: readonly OfferedColumn[];
}

/** How the text is written, where a person has said so. */
export type StatedShape = Partial<Pick<ImportMapping, 'delimiter' | 'encoding' | 'skipLines'>>;

/** Guesses from a file's first lines how it is to be read. @throws {AppError} READINGS_UNUSABLE: they are no text */
export function offerMapping(head: Buffer, name: string, plant: Plant, stated: StatedShape = {}): OfferedMapping {
  if (stated.encoding === undefined) refuseNoText(head, name);
  const encoding = stated.encoding ?? encodingOf(head);
  const text = Buffer.from(new TextDecoder(encoding).decode(head));
  const { delimiter, skipLines, rows } = shapeOf(text, stated);
  const plain = rows[0]?.cells ?? [];
  const headings = columnNames(plain);
  const samples = rows.slice(1, 1 + SAMPLES).map(({ cells }) => cells);
  const own =
    delimiter === ',' && headings.includes('time') && headings.some((one) => one === 'gun' || one === 'station');
  const time = offerTime(headings, samples, plant);
  const device = headings.findIndex((heading) =>
    /^(gun|station|device|pistole|gerät|sensor)( ?(id|name|no\.?))?$/i.test(heading),
  );
  const used = new Set([time?.column, time?.clock, headings[device]]);
  const offered = headings.flatMap((heading, index) =>
    heading === '' || used.has(heading)
      ? []
      : [{ ...offerColumn(plainHeading(plain[index]!), plant), column: heading }],
  );
  const columns = onceEach(offered);
  const { decimal, example } = offeredDecimal(samples.flat(), delimiter === ',');
  return {
    ...{ own, encoding, delimiter, skipLines, headings, time, columns },
    ...{ decimal, eitherWay: example },
    samples: samples.slice(0, 3),
    gun:
      device >= 0
        ? namesIn(
            headings[device]!,
            samples.map((row) => row[device] ?? ''),
            plant,
          )
        : fileGun(name, columns, plant),
  };
}

interface Shape {
  readonly delimiter: ImportMapping['delimiter'];
  readonly skipLines: number;
  readonly rows: readonly HeadRow[];
}

/** Delimiter and place of the headings: the first line that has as many cells as most lines do, and hardly an empty one. */
function shapeOf(text: Buffer, stated: StatedShape): Shape {
  const tries = (stated.delimiter === undefined ? DELIMITERS : [stated.delimiter]).map((delimiter) => {
    const rows = headRows(text, delimiter, stated.skipLines).slice(0, 60);
    const widths = rows.map(({ cells }) => cells.length);
    const usual = mostFrequent(widths);
    return { delimiter, rows, usual, alike: widths.filter((width) => width === usual).length };
  });
  const best = tries.reduce((one, other) =>
    Math.min(other.usual, 20) * other.alike > Math.min(one.usual, 20) * one.alike && other.usual > 1 ? other : one,
  );
  const { delimiter } = best;
  if (stated.skipLines !== undefined)
    return { delimiter, skipLines: stated.skipLines, rows: headRows(text, delimiter, stated.skipLines) };
  const first = best.rows.findIndex(
    ({ cells }) => cells.length === best.usual && cells.filter((cell) => cell.trim() !== '').length > best.usual / 2,
  );
  const skipLines = first > 0 ? best.rows[first]!.line - 1 : 0;
  return { delimiter, skipLines, rows: headRows(text, delimiter, skipLines) };
}

function mostFrequent(numbers: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const one of numbers) counts.set(one, (counts.get(one) ?? 0) + 1);
  return [...counts].sort((left, right) => right[1] - left[1])[0]?.[0] ?? 0;
}

/** A channel of a gun can come from one column only: the first keeps it. */
function onceEach(columns: readonly OfferedColumn[]): OfferedColumn[] {
  const taken = new Set<string>();
  return columns.map((column) => {
    const key = `${column.gun ?? ''} ${column.channel}`;
    if (column.channel === null || !taken.has(key)) {
      taken.add(key);
      return column;
    }
    return { ...column, channel: null, unit: null };
  });
}

function namesIn(column: string, cells: readonly string[], plant: Plant): OfferedMapping['gun'] {
  const ids = new Set([...plant.guns, ...plant.air].map(({ id }) => id));
  const found = [...new Set(cells.map((cell) => cell.trim()))].filter((cell) => cell !== '' && !ids.has(cell));
  const names = found.flatMap((cell): [string, string][] => {
    const station = stationIn(cell, plant);
    return station === null ? [] : [[cell, station]];
  });
  return { column, names: Object.fromEntries(names), found };
}

function fileGun(name: string, columns: readonly OfferedColumn[], plant: Plant): string | null {
  if (columns.some(({ gun }) => gun !== null)) return null;
  return stationIn(name, plant) ?? (plant.guns.length === 1 ? plant.guns[0]!.id : null);
}
