import { basename } from 'node:path';
import { AppError, formatTime, type Plant, printable } from '../contract/index.ts';
import { writeReadings } from '../decode/csv-write.ts';
import { PACK_LIMITS } from '../decode/decoded.ts';
import { provenanceOf } from '../decode/mapped/translated.ts';
import type { ReadingsTable } from '../decode/readings-table.ts';
import { REASONS } from '../decode/reasons.ts';
import { summaryLine } from '../decode/tally.ts';
import type { ImportMapping } from './import-mapping.ts';
import { importPieces, rangeCounters, upTo } from './import-pieces.ts';
import { type ImportTarget, openImportTarget } from './import-target.ts';
import { importHash, readImport } from './read-import.ts';

interface Sink {
  write(text: string): void | Promise<void>;
}

export interface ImportOptions {
  readonly dir: string;
  readonly plant: Plant;
  readonly files: readonly string[];
  readonly mapping: ImportMapping | null;
  /** Rows of each station to show instead of importing; null for none. */
  readonly preview: number | null;
  /** Read and report, and store nothing. */
  readonly dryRun: boolean;
  readonly stdout: Sink;
  readonly stderr: Sink;
  readonly now: () => number;
  readonly signal: AbortSignal;
}

/** How far the import of one file has come, as it is kept. */
interface Progress {
  readonly file: string;
  readonly pieces: number;
  readonly finishedAt: number | null;
}

/**
 * The command `driftline import`: readings of CSV files into the store, also while the service runs. What was imported before is
 * passed over; an import that was interrupted goes on where it was.
 *
 * @throws {AppError} READINGS_UNUSABLE, STORE_UNUSABLE, DISK_FULL, NOT_READY
 */
export async function importReadings(options: ImportOptions): Promise<void> {
  const { dir, files, preview, dryRun, stderr, now } = options;
  if (preview !== null || dryRun) {
    for (const file of files) await showFile(file, options);
    return;
  }
  const target = await openImportTarget(dir, now);
  try {
    if (target.served) await stderr.write(`${dir}: a service runs on it and takes the readings over\n`);
    for (const file of files) await importFile(file, target, options);
    await target.finish();
  } finally {
    await target.close();
  }
}

async function showFile(file: string, options: ImportOptions): Promise<void> {
  const { plant, mapping, preview, stdout, stderr } = options;
  const table = await readImport(file, plant, mapping);
  await report(table, options);
  if (preview !== null) {
    const blocks = table.stations.map((station) => {
      const { times, columns, strings } = table.frames(station);
      const head = Object.fromEntries(
        Object.entries(columns).map(([name, column]) => [name, column.slice(0, preview)]),
      );
      return { station, times: times.slice(0, preview), columns: head, strings };
    });
    for (const piece of writeReadings(blocks)) await stdout.write(piece);
    return;
  }
  for (const station of table.stations) {
    const { times } = table.frames(station);
    const span = `${formatTime(times[0]!)} to ${formatTime(times.at(-1)!)}`;
    await stdout.write(`${station}: ${times.length} rows, ${span}\n`);
  }
  await stderr.write('dry run: nothing was stored\n');
}

/** What became of the rows, one line a file. */
async function report(table: ReadingsTable, { stderr }: ImportOptions): Promise<void> {
  for (const one of table.reports) await stderr.write(`${summaryLine(one)}\n`);
}

async function importFile(file: string, target: ImportTarget, options: ImportOptions): Promise<void> {
  const { plant, mapping, stderr, now, signal } = options;
  const key = `import/progress/${await importHash(file, plant, mapping)}`;
  const before = readProgress(target.store.states.get(key));
  const name = printable(file, 200);
  if (before !== null && before.finishedAt !== null) {
    await stderr.write(`${name}: imported before, at ${formatTime(before.finishedAt)}; nothing to do\n`);
    return;
  }
  const table = await readImport(file, plant, mapping);
  await report(table, options);
  const total = [...importPieces(table, '')].length;
  const from = before?.pieces ?? 0;
  if (from > 0) await stderr.write(`${name}: goes on at ${percent(from, total)}\n`);
  const latestMs = now() + PACK_LIMITS.aheadMs;
  let pieces = 0;
  let readings = 0;
  let ahead = 0;
  let told = now();
  for (const whole of importPieces(table, provenanceOf(`import/${basename(file)}`))) {
    const cut = upTo(whole, latestMs);
    ahead += cut.ahead;
    readings += cut.pack.times.length;
    if (++pieces <= from) continue;
    if (signal.aborted)
      throw new AppError(
        'NOT_READY',
        `${name}: interrupted at ${percent(pieces - 1, total)}; the same command goes on there`,
      );
    const last = pieces === total;
    const progress: Progress = { file: basename(file), pieces, finishedAt: last ? now() : null };
    const counters = last ? rangeCounters(table) : {};
    await target.put({ packs: [cut.pack], counters }, { key, bytes: Buffer.from(JSON.stringify(progress)) });
    if (now() - told < 1000 && !last) continue;
    told = now();
    await stderr.write(`${name}: ${percent(pieces, total)}, ${readings} readings\n`);
  }
  if (ahead > 0) await stderr.write(`${name}: ${ahead} readings not taken: ${REASONS['ahead-of-clock']}\n`);
}

function readProgress(bytes: Uint8Array | null): Progress | null {
  return bytes === null ? null : (JSON.parse(Buffer.from(bytes).toString('utf8')) as Progress);
}

function percent(pieces: number, total: number): string {
  return `${Math.floor((100 * pieces) / total)} %`;
}
