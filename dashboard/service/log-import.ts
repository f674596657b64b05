import { AppError, formatTime, type LogEntry, type Plant } from '../../collector/contract/index.ts';
import { openStore, type ParsedLog, readLog } from '../../collector/index.ts';
import { logEntryFrom, RequestFault } from '../server/index.ts';
import { recordedPlant } from './plant-record.ts';

/** What one file came to. */
export interface ImportedLog {
  readonly file: string;
  readonly entries: number;
  /** Of them those that were written down; the others were there already. */
  readonly added: number;
  /** Rows of our own export that had been taken back there: they count no more, and are passed over. */
  readonly takenBack: number;
  /** Headings that are none of the log's. */
  readonly ignoredColumns: readonly string[];
}

/** Files of a maintenance log for a data folder. */
export interface LogImport {
  readonly dir: string;
  readonly files: readonly string[];
  /** Read and check everything, and write nothing. */
  readonly dryRun: boolean;
}

/**
 * Writes the entries of files into the maintenance log of a data folder, also while a service runs on it: all of them or, where one row of any file does
 * not fit, none. What is there already (gun, part, action and time), also if it was taken back since, is passed over, so that the same file can come again.
 *
 * @param now wall clock, epoch ms
 * @throws {AppError} LOG_UNUSABLE naming file, line or entry, what was found and expected; USAGE, STORE_UNUSABLE
 */
export async function importLog({ dir, files, dryRun }: LogImport, now: number): Promise<ImportedLog[]> {
  const store = openStore(dir);
  try {
    const plant = recordedPlant(store, dir);
    const read: ({ readonly file: string } & ParsedLog)[] = [];
    for (const file of files) read.push({ file, ...(await readLog(file, plant)) });
    for (const { file, entries } of read) for (const entry of entries) refuseUnfit(entry, plant, file, now);
    return store.transaction(() => {
      const known = new Set(store.log.history().map(keyOf));
      return read.map(({ file, entries, takenBack, ignoredColumns }) => {
        let added = 0;
        for (const entry of entries) {
          if (known.has(keyOf(entry))) continue;
          known.add(keyOf(entry));
          added++;
          if (!dryRun) store.log.add(entry, { recordedAt: now, source: 'cli' });
        }
        return { file, entries: entries.length, added, takenBack, ignoredColumns };
      });
    });
  } finally {
    store.close();
  }
}

const keyOf = ({ time, gun, part, action }: LogEntry): string => JSON.stringify([time, gun, part, action]);

/** What a gun has, and that nothing was done tomorrow, is asked of a file as of whoever types. */
function refuseUnfit({ time, found, ...entry }: LogEntry, plant: Plant, file: string, now: number): void {
  const body = { ...entry, measured: undefined, time: formatTime(time), ...(found === null ? {} : { found }) };
  try {
    logEntryFrom(body, plant, now);
  } catch (error) {
    if (!(error instanceof RequestFault)) throw error;
    const { gun, part, action } = entry;
    throw new AppError('LOG_UNUSABLE', `${file}: ${gun}, ${part} ${action} at ${body.time}: ${error.message}`, {
      cause: error,
    });
  }
}
