import { TextDecoder } from 'node:util';
import { AppError, CHANNELS, type Channel, type Plant } from '../contract/index.ts';
import { CSV_LIMITS, CsvReadings } from '../decode/csv-readings.ts';
import type { Shown } from '../decode/mapped/local-time.ts';
import { planStations, type StationPlan } from '../decode/station-plan.ts';
import type { RowRefusal } from '../decode/tally.ts';
import { type HeadRow, headRows } from './head-rows.ts';
import type { ImportMapping } from './import-mapping.ts';
import { LoggerRows } from './logger-rows.ts';
import { checkGuns } from './read-import.ts';

/** What a cell would become. */
export interface PreviewedReading {
  readonly station: string;
  /** Epoch ms. */
  readonly time: number;
  readonly channel: Channel;
  /** Canonical unit; 0 or 1 for a trigger. */
  readonly value: number | string;
}

export interface PreviewedRow {
  readonly line: number;
  /** As the file has them. */
  readonly cells: readonly string[];
  readonly readings: readonly PreviewedReading[];
  readonly refusals: readonly RowRefusal[];
  /** How often the clock of the mapping's zone showed this time. */
  readonly shown: Shown;
}

export interface ImportPreview {
  readonly headings: readonly string[];
  readonly rows: readonly PreviewedRow[];
}

/**
 * The first rows of a file and what each would become, by the code that imports them; a row is read by itself, so what only shows
 * among others (repeats, times far from the rest) is left to the dry run.
 *
 * @param head the file's first lines, whole
 * @throws {AppError} READINGS_UNUSABLE: a column is missing, or this is no CSV; CONFIG_INVALID: an unknown gun
 */
export function previewRows(
  head: Buffer,
  { name, plant, mapping, count }: { name: string; plant: Plant; mapping: ImportMapping | null; count: number },
): ImportPreview {
  const plans = planStations(plant);
  if (mapping !== null) checkGuns(mapping, plans);
  const text = mapping === null ? head : Buffer.from(new TextDecoder(mapping.encoding).decode(head));
  const [headings, ...rows] = headRows(text, mapping?.delimiter ?? ',', mapping?.skipLines);
  const shown = rows.slice(0, count);
  const unsure = new Map<number, Shown>();
  const passes = mapping === null ? [head] : rewritten(head, mapping, name, unsure);
  const became = passes.map((pass) => readRows(pass, shown, name, plans));
  return {
    headings: headings?.cells ?? [],
    rows: shown.map(({ line, cells }, index) => {
      const found = became.map((pass) => pass[index]!);
      return {
        line,
        cells,
        shown: unsure.get(line) ?? 'once',
        readings: found.flatMap(({ readings }) => readings),
        // A row that is refused whole is so in each pass.
        refusals: found
          .flatMap(({ refusals }) => refusals)
          .filter(
            (one, at, all) => one.channel !== null || all.findIndex(({ reason }) => reason === one.reason) === at,
          ),
      };
    }),
  };
}

/** The file's head in the contract's form, once for each gun that has columns of its own; `unsure` is told the lines whose local time is not sure. */
function rewritten(head: Buffer, mapping: ImportMapping, name: string, unsure: Map<number, Shown>): Buffer[] {
  const onTime = (shown: Shown, line: number): void => void (shown === 'once' || unsure.set(line, shown));
  return LoggerRows.passes(mapping).map((gun) => {
    const rows = new LoggerRows(mapping, gun, name, { onTime });
    return Buffer.concat([rows.push(head), rows.end()]);
  });
}

type Became = Pick<PreviewedRow, 'readings' | 'refusals'>;

/** What each of these lines of a file in the contract's form becomes. */
function readRows(
  pass: Buffer,
  wanted: readonly HeadRow[],
  name: string,
  plans: ReadonlyMap<string, StationPlan>,
): Became[] {
  const lines = pass.toString('utf8').split('\n');
  const heading = lines.findIndex((line) => line.trim() !== '');
  return wanted.map(({ line }, index) => {
    const end = wanted[index + 1]?.line ?? line + 1;
    const row = lines.slice(line - 1, Math.max(line, end - 1)).join('\n');
    const before = '\n'.repeat(Math.max(0, line - heading - 2));
    const refusals: RowRefusal[] = [];
    const reader = new CsvReadings(plans, CSV_LIMITS, (refusal) => refusals.push(refusal));
    reader.beginFile(name);
    reader.push(Buffer.from(`${'\n'.repeat(heading)}${lines[heading] ?? ''}\n${before}${row}\n`));
    try {
      reader.endFile();
    } catch (error) {
      // A row without anything usable says why itself; a heading that cannot be read is a fault of the file.
      if (!(error instanceof AppError) || error.code !== 'READINGS_UNUSABLE') throw error;
      return { readings: [], refusals };
    }
    return { readings: readingsOf(reader), refusals };
  });
}

function readingsOf(reader: CsvReadings): PreviewedReading[] {
  const table = reader.finish();
  return table.stations.flatMap((station) => {
    const { times, columns, strings } = table.frames(station);
    return CHANNELS.flatMap(({ name: channel, kind }) => {
      const value = columns[channel]?.[0] ?? Number.NaN;
      if (Number.isNaN(value)) return [];
      return [{ station, time: times[0]!, channel, value: kind === 'string' ? strings[value]! : value }];
    });
  });
}
