import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { AppError, type Plant, quoted } from '../contract/index.ts';
import { CSV_LIMITS, CsvReadings } from '../decode/csv-readings.ts';
import { fileError } from '../decode/file-fault.ts';
import type { ReadingsTable } from '../decode/readings-table.ts';
import { planStations } from '../decode/station-plan.ts';
import type { RowRefusal } from '../decode/tally.ts';
import { systemFault } from '../files/file-access.ts';
import { readUnpacked } from '../files/unpacked.ts';
import type { ImportMapping } from './import-mapping.ts';
import type { ImportedFile } from './import-steps.ts';
import { type LocalHours, LocalHourTally } from './local-hours.ts';
import { LoggerRows } from './logger-rows.ts';
import { type ToldCells, ToldCellsTally } from './told-cells.ts';

const CODE = 'READINGS_UNUSABLE';
/** Guns that a refusal names. Source: own choice: a line on a screen. */
const MOST_NAMED = 8;

export interface ReadImportOptions {
  /** Told of each row and cell that cannot be used. */
  readonly onRefusal?: (refusal: RowRefusal) => void;
  /** Told how many bytes were read, of all passes together; may throw to end the reading. */
  readonly onRead?: (bytes: number) => void;
}

/** A file's readings, and what people should know of how they were read. */
export interface ReadFile {
  readonly table: ReadingsTable;
  /** Rows whose local time is not sure; null where all are. */
  readonly localHours: LocalHours | null;
  /** Cells that hold a mark of a missing value; null where there is none. */
  readonly missing: ToldCells | null;
  /** Cells whose only point was taken for a mark of thousands; null where there is none. */
  readonly thousands: ToldCells | null;
}

/**
 * Reads one file as `analyze` reads it, a logger's own after its mapping.
 *
 * @throws {AppError} READINGS_UNUSABLE; CONFIG_INVALID: the mapping names a gun that the plant does not have
 */
export async function readImport(
  { path, name }: ImportedFile,
  plant: Plant,
  mapping: ImportMapping | null,
  { onRefusal, onRead }: ReadImportOptions = {},
): Promise<ReadFile> {
  const plans = planStations(plant);
  const readings = new CsvReadings(plans, CSV_LIMITS, onRefusal ?? null);
  if (mapping === null) {
    readings.beginFile(name);
    await readUnpacked(path, CODE, (chunk) => readings.push(chunk), { name, ...(onRead ? { onRead } : {}) });
    readings.endFile();
    return { table: readings.finish(), localHours: null, missing: null, thousands: null };
  }
  checkGuns(mapping, plans);
  const passes = LoggerRows.passes(mapping);
  const hours = new LocalHourTally();
  const [marks, thousands] = [new ToldCellsTally(), new ToldCellsTally()];
  let before = 0;
  for (const gun of passes) {
    // Each pass reads every row's time: one of them counts.
    const onTime = gun === passes[0] ? hours.add.bind(hours) : undefined;
    const rows = new LoggerRows(mapping, gun, name, {
      onTime,
      onMissing: marks.add.bind(marks),
      onThousands: thousands.add.bind(thousands),
    });
    readings.beginFile(passes.length > 1 && gun !== null ? `${name} (${gun})` : name);
    let here = 0;
    const told = (bytes: number): void => {
      here = bytes;
      onRead?.(before + bytes);
    };
    await readUnpacked(path, CODE, (chunk) => readings.push(rows.push(chunk)), { name, onRead: told });
    readings.push(rows.end());
    readings.endFile();
    before += here;
  }
  return {
    table: readings.finish(),
    localHours: hours.told(mapping.time.zone),
    missing: marks.told(),
    thousands: thousands.told(),
  };
}

/** @throws {AppError} CONFIG_INVALID: the mapping names a gun that the plant does not have */
export function checkGuns(mapping: ImportMapping, plans: ReadonlyMap<string, unknown>): void {
  const { gun } = mapping;
  const named = [
    ...(typeof gun === 'string' ? [gun] : Object.values(gun?.names ?? {})),
    ...mapping.columns.flatMap((column) => column.gun ?? []),
  ];
  const unknown = named.find((one) => !plans.has(one));
  if (unknown !== undefined)
    throw new AppError(
      'CONFIG_INVALID',
      `the mapping: found the gun ${quoted(unknown)}, expected one of the plant file: ${[...plans.keys()].slice(0, MOST_NAMED).join(', ')}${plans.size > MOST_NAMED ? ', …' : ''}`,
    );
}

/** What tells this import from another: the file's bytes, and how they are read. @throws {AppError} READINGS_UNUSABLE */
export async function importHash(
  { path, name: file }: ImportedFile,
  plant: Plant,
  mapping: ImportMapping | null,
): Promise<string> {
  const hash = createHash('sha256');
  hash.update(JSON.stringify([mapping, plant.guns, plant.air]));
  try {
    for await (const chunk of createReadStream(path)) hash.update(chunk as Buffer);
  } catch (error) {
    const found = systemFault(error);
    if (found === null) throw error;
    throw fileError(CODE, { file, found, expected: 'a CSV file, plain or gzip' }, error);
  }
  return hash.digest('hex');
}
