import { AppError, EARLIEST_MS, type Frames, formatTime, LATEST_MS, parseIsoTime, quoted } from './contract/index.ts';
import { writeReadings } from './decode/csv-write.ts';
import type { HistorianConfig } from './historian/historian-config.ts';
import { longHistory } from './historian/long-history.ts';
import { readableTargetOf, targetName } from './historian/target-of.ts';
import { damagedReadings, damageWords, refuseDamaged } from './store/damage.ts';
import { openStore } from './store/embedded.ts';
import type { Store } from './store/store.ts';

export interface ReadingsExport {
  readonly dir: string;
  /** One gun or air point; all by default. */
  readonly station?: string | undefined;
  /** ISO 8601 with offset; from inclusive, to exclusive. */
  readonly from?: string | undefined;
  readonly to?: string | undefined;
  /** The long-term store, from which readings older than those kept here are read back; null or absent for none. */
  readonly historian?: HistorianConfig | null | undefined;
  /** Write what can be read where some of it is damaged, and say what is missing. */
  readonly leaveOutDamaged?: boolean | undefined;
  readonly stdout: { write(text: string): void | Promise<void> };
  readonly stderr?: { write(text: string): void | Promise<void> } | undefined;
}

/**
 * The command `driftline export readings`: CSV from the store as `analyze` reads it, station by station, ascending in time.
 *
 * @throws {AppError} USAGE for an unreadable time or a station that never sent anything; READINGS_DAMAGED; STORE_UNUSABLE, also
 *   when the long-term store is needed and cannot be read
 */
export async function exportReadings({
  dir,
  station,
  from,
  to,
  historian,
  leaveOutDamaged,
  stdout,
  stderr,
}: ReadingsExport): Promise<void> {
  const fromMs = from === undefined ? EARLIEST_MS : timeOption('--from', from);
  const toMs = to === undefined ? LATEST_MS : timeOption('--to', to);
  if (fromMs >= toMs) throw new AppError('USAGE', `--from ${quoted(from)} is not before --to ${quoted(to)}`);
  const store = openStore(dir, { create: false, leaveOutDamaged: leaveOutDamaged ?? false });
  try {
    const known = store.readings.stations().map((one) => one.station);
    if (station !== undefined && !known.includes(station))
      throw new AppError(
        'USAGE',
        `--station: found ${quoted(station)}, expected one of ${known.join(', ') || 'none yet'}`,
      );
    const stations = station === undefined ? known : [station];
    if (leaveOutDamaged !== true)
      for (const one of stations) refuseDamaged(damagedReadings(store.readings, one, fromMs, toMs));
    const target = historian ? readableTargetOf(historian) : null;
    if (target === null) {
      for (const piece of writeReadings(framesOf(store, stations, fromMs, toMs))) await stdout.write(piece);
      await sayWhatIsGone(store, stations, fromMs, stderr);
      for (const one of stations)
        for (const span of store.readings.damaged(one, fromMs, toMs))
          await stderr?.write(`left out: ${damageWords(span)}\n`);
      return;
    }
    const history = { target, site: recordedSite(store, dir), name: targetName(historian!) };
    const header = [...writeReadings([])].join('');
    await stdout.write(header);
    for (const one of stations)
      for await (const frames of longHistory(store, history, one, fromMs, toMs))
        await stdout.write([...writeReadings([frames])].join('').slice(header.length));
  } finally {
    store.close();
  }
}

function* framesOf(store: Store, stations: readonly string[], from: number, to: number): Generator<Frames> {
  for (const station of stations) yield* store.readings.iterateFrames(station, from, to);
}

/** Raw readings that retention took away are missing in the export: nobody should find that out later. */
async function sayWhatIsGone(
  store: Store,
  stations: readonly string[],
  from: number,
  stderr: ReadingsExport['stderr'],
): Promise<void> {
  for (const station of stations) {
    const gone = store.readings.thinnedAway(station);
    if (gone !== null && from < gone.rawFrom)
      await stderr?.write(
        `${station}: readings before ${formatTime(gone.rawFrom)} are kept thinned only, see "driftline export thinned"; with --config they are read back from a long-term store\n`,
      );
  }
}

/** The site of the last service on the folder. */
function recordedSite(store: Store, dir: string): string {
  const bytes = store.states.get('plant');
  if (bytes === null) throw new AppError('STORE_UNUSABLE', `data folder ${dir}: no service has run on it yet`);
  return (JSON.parse(Buffer.from(bytes).toString('utf8')) as { site: { id: string } }).site.id;
}

function timeOption(option: string, text: string): number {
  const time = parseIsoTime(text);
  if (!Number.isFinite(time))
    throw new AppError('USAGE', `${option}: found ${quoted(text)}, expected a time such as 2026-03-02T09:10:00Z`);
  return time;
}
