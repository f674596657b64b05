import { AppError, EARLIEST_MS, type Frames, LATEST_MS, parseIsoTime, quoted } from './contract/index.ts';
import { writeReadings } from './decode/csv-write.ts';
import { openStore } from './store/embedded.ts';
import type { Store } from './store/store.ts';

export interface ReadingsExport {
  readonly dir: string;
  /** One gun or air point; all by default. */
  readonly station?: string | undefined;
  /** ISO 8601 with offset; from inclusive, to exclusive. */
  readonly from?: string | undefined;
  readonly to?: string | undefined;
  readonly stdout: { write(text: string): void | Promise<void> };
}

/**
 * The command `driftline export readings`: CSV from the store as `analyze` reads it, station by station, ascending in time.
 *
 * @throws {AppError} USAGE for an unreadable time or a station that never sent anything; STORE_UNUSABLE
 */
export async function exportReadings({ dir, station, from, to, stdout }: ReadingsExport): Promise<void> {
  const fromMs = from === undefined ? EARLIEST_MS : timeOption('--from', from);
  const toMs = to === undefined ? LATEST_MS : timeOption('--to', to);
  if (fromMs >= toMs) throw new AppError('USAGE', `--from ${quoted(from)} is not before --to ${quoted(to)}`);
  const store = openStore(dir, { create: false });
  try {
    const known = store.readings.stations().map((one) => one.station);
    if (station !== undefined && !known.includes(station))
      throw new AppError(
        'USAGE',
        `--station: found ${quoted(station)}, expected one of ${known.join(', ') || 'none yet'}`,
      );
    const blocks = framesOf(store, station === undefined ? known : [station], fromMs, toMs);
    for (const piece of writeReadings(blocks)) await stdout.write(piece);
  } finally {
    store.close();
  }
}

function* framesOf(store: Store, stations: readonly string[], from: number, to: number): Generator<Frames> {
  for (const station of stations) yield* store.readings.iterateFrames(station, from, to);
}

function timeOption(option: string, text: string): number {
  const time = parseIsoTime(text);
  if (!Number.isFinite(time))
    throw new AppError('USAGE', `${option}: found ${quoted(text)}, expected a time such as 2026-03-02T09:10:00Z`);
  return time;
}
