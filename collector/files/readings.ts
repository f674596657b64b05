import { AppError, type Plant } from '../contract/index.ts';
import { CsvReadings } from '../decode/csv-readings.ts';
import type { ReadingsTable } from '../decode/readings-table.ts';
import { planStations } from '../decode/station-plan.ts';
import { readUnpacked } from './unpacked.ts';

/**
 * Reads files of readings (CSV, RFC 4180), plain or gzip, into columns by station.
 *
 * @param files in the order that decides which of two conflicting readings came first
 * @throws {AppError} READINGS_UNUSABLE: one of them cannot be used; the message names file, line, field, what was
 *   found and what was expected
 */
export async function readReadings(files: readonly string[], plant: Plant): Promise<ReadingsTable> {
  if (files.length === 0) throw new AppError('USAGE', 'found no file of readings, expected at least one --readings');
  const readings = new CsvReadings(planStations(plant));
  for (const file of files) {
    readings.beginFile(file);
    await readUnpacked(file, 'READINGS_UNUSABLE', (chunk) => readings.push(chunk));
    readings.endFile();
  }
  return readings.finish();
}
