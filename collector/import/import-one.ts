import { stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { printable } from '../contract/index.ts';
import { PACK_LIMITS } from '../decode/decoded.ts';
import { provenanceOf } from '../decode/mapped/translated.ts';
import type { ReadingsTable } from '../decode/readings-table.ts';
import type { RowRefusal } from '../decode/tally.ts';
import { alreadyThere } from './already-there.ts';
import { importPieces, rangeCounters, upTo } from './import-pieces.ts';
import { type ImportedFile, type ImportOutcome, type ImportRules, ImportStopped } from './import-steps.ts';
import type { ImportTarget } from './import-target.ts';
import { importHash, type ReadFile, readImport } from './read-import.ts';

/** Refusals that are told one by one; all are counted. Source: own choice, because nobody reads on after them. */
const MOST_REFUSALS = 200;

/** How far the import of one file has come, as it is kept. */
interface Progress {
  readonly file: string;
  readonly pieces: number;
  readonly finishedAt: number | null;
}

/**
 * Reads a file as an import would, and stores nothing.
 *
 * @throws {AppError} READINGS_UNUSABLE, CONFIG_INVALID; ImportStopped after `signal`
 */
export async function dryRun(
  file: ImportedFile,
  rules: ImportRules,
): Promise<{ readonly table: ReadingsTable; readonly outcome: ImportOutcome }> {
  const read = await readAll(file, rules);
  const { table } = read;
  const latestMs = rules.now() + PACK_LIMITS.aheadMs;
  let [readings, ahead] = [0, 0];
  for (const whole of importPieces(table, '')) {
    const cut = upTo(whole, latestMs);
    readings += cut.pack.times.length;
    ahead += cut.ahead;
  }
  return { table, outcome: { ...summaryOf(read), importedBefore: null, readings, ahead } };
}

/**
 * Brings the readings of one file where they belong. What was imported before is passed over; an import that was interrupted goes on
 * where it was.
 *
 * @throws {AppError} READINGS_UNUSABLE, CONFIG_INVALID, DISK_FULL, NOT_READY; ImportStopped after `signal`
 */
export async function importOne(file: ImportedFile, target: ImportTarget, rules: ImportRules): Promise<ImportOutcome> {
  const { plant, mapping, now, signal, tell } = rules;
  const key = `import/progress/${await importHash(file, plant, mapping)}`;
  const before = readProgress(target.store.states.get(key));
  if (before !== null && before.finishedAt !== null)
    return {
      ...{ importedBefore: before.finishedAt, reports: [], refusals: [], stations: [], readings: 0, ahead: 0 },
      ...{ localHours: null, missing: null, thousands: null },
    };
  const read = await readAll(file, rules);
  const { table } = read;
  const total = [...importPieces(table, '')].length;
  const from = before?.pieces ?? 0;
  if (from > 0) await tell({ kind: 'goes-on', pieces: from, of: total });
  const latestMs = now() + PACK_LIMITS.aheadMs;
  const named = basename(file.name);
  let [pieces, readings, ahead, already] = [0, 0, 0, 0];
  for (const whole of importPieces(table, provenanceOf(`import/${named}`))) {
    const cut = upTo(whole, latestMs);
    ahead += cut.ahead;
    readings += cut.pack.times.length;
    if (++pieces <= from) continue;
    if (signal.aborted) throw new ImportStopped(printable(file.name, 200), sharePerCent(pieces - 1, total));
    const last = pieces === total;
    const progress: Progress = { file: named, pieces, finishedAt: last ? now() : null };
    already += alreadyThere(cut.pack, target.store.readings);
    const counters = last ? rangeCounters(table) : {};
    await target.put({ packs: [cut.pack], counters }, { key, bytes: Buffer.from(JSON.stringify(progress)) });
    await tell({ kind: 'stored', pieces, of: total, readings });
  }
  return { ...summaryOf(read), importedBefore: null, readings, ahead, already };
}

/** How much of it is done, whole per cent, rounded down. */
export function sharePerCent(pieces: number, total: number): number {
  return Math.floor((100 * pieces) / total);
}

interface ReadAll extends ReadFile {
  /** By line. */
  readonly refusals: readonly RowRefusal[];
}

async function readAll(file: ImportedFile, { plant, mapping, signal, tell }: ImportRules): Promise<ReadAll> {
  const refusals: RowRefusal[] = [];
  const passes = mapping === null ? 1 : new Set(mapping.columns.map(({ gun }) => gun)).size;
  const of =
    passes *
    (await stat(file.path).then(
      ({ size }) => size,
      () => 0,
    ));
  const read = await readImport(file, plant, mapping, {
    onRefusal: (refusal) => {
      if (refusals.length < MOST_REFUSALS) refusals.push(refusal);
    },
    onRead: (bytes) => {
      if (signal.aborted) throw new ImportStopped(printable(file.name, 200), 0);
      void tell({ kind: 'reading', bytes, of });
    },
  });
  await tell({ kind: 'read', reports: read.table.reports });
  return { ...read, refusals: refusals.sort((left, right) => left.line - right.line) };
}

function summaryOf({
  table,
  ...told
}: ReadAll): Pick<ImportOutcome, 'reports' | 'stations' | Exclude<keyof ReadAll, 'table'>> {
  const stations = table.stations.map((station) => {
    const { times } = table.frames(station);
    return { station, rows: times.length, from: times[0]!, to: times.at(-1)! };
  });
  return { ...told, reports: table.reports, stations };
}

function readProgress(bytes: Uint8Array | null): Progress | null {
  return bytes === null ? null : (JSON.parse(Buffer.from(bytes).toString('utf8')) as Progress);
}
