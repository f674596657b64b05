import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { AppError, type Plant } from '../contract/index.ts';
import { CsvReadings } from '../decode/csv-readings.ts';
import { fileError } from '../decode/file-fault.ts';
import type { ReadingsTable } from '../decode/readings-table.ts';
import { planStations } from '../decode/station-plan.ts';
import { systemFault } from '../files/file-access.ts';
import { readUnpacked } from '../files/unpacked.ts';
import type { ImportMapping } from './import-mapping.ts';
import { LoggerRows } from './logger-rows.ts';

const CODE = 'READINGS_UNUSABLE';

/**
 * Reads one file as `analyze` reads it, a logger's own after its mapping.
 *
 * @throws {AppError} READINGS_UNUSABLE
 */
export async function readImport(file: string, plant: Plant, mapping: ImportMapping | null): Promise<ReadingsTable> {
  const readings = new CsvReadings(planStations(plant));
  if (mapping === null) {
    readings.beginFile(file);
    await readUnpacked(file, CODE, (chunk) => readings.push(chunk));
    readings.endFile();
    return readings.finish();
  }
  const passes = LoggerRows.passes(mapping);
  for (const gun of passes) {
    if (gun !== null && !planStations(plant).has(gun))
      throw new AppError('CONFIG_INVALID', `the mapping names the gun "${gun}", which the plant file does not have`);
    const rows = new LoggerRows(mapping, gun, file);
    readings.beginFile(passes.length > 1 && gun !== null ? `${file} (${gun})` : file);
    await readUnpacked(file, CODE, (chunk) => readings.push(rows.push(chunk)));
    readings.push(rows.end());
    readings.endFile();
  }
  return readings.finish();
}

/** What tells this import from another: the file's bytes, and how they are read. @throws {AppError} READINGS_UNUSABLE */
export async function importHash(file: string, plant: Plant, mapping: ImportMapping | null): Promise<string> {
  const hash = createHash('sha256');
  hash.update(JSON.stringify([mapping, plant.guns, plant.air]));
  try {
    for await (const chunk of createReadStream(file)) hash.update(chunk as Buffer);
  } catch (error) {
    const found = systemFault(error);
    if (found === null) throw error;
    throw fileError(CODE, { file, found, expected: 'a CSV file, plain or gzip' }, error);
  }
  return hash.digest('hex');
}
