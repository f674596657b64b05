import { counted, formatTime, type Plant, printable } from '../contract/index.ts';
import { writeReadings } from '../decode/csv-write.ts';
import type { ReadingsTable } from '../decode/readings-table.ts';
import { REASONS } from '../decode/reasons.ts';
import { summaryLine } from '../decode/tally.ts';
import type { Store } from '../store/store.ts';
import type { ImportMapping } from './import-mapping.ts';
import { dryRun, importOne, sharePerCent } from './import-one.ts';
import type { ImportOutcome, ImportStep } from './import-steps.ts';
import { type ImportTarget, openImportTarget } from './import-target.ts';
import { localHoursText } from './local-hours.ts';
import { missingMarksText } from './missing-marks.ts';
import { thousandsText } from './number-text.ts';

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
  /** Given the store where no service runs on it, before anything is imported. */
  readonly onOwn: (store: Store) => void;
  /** Given the store before anything is imported, whoever runs on it. */
  readonly onBegun: (store: Store) => void;
}

/**
 * The command `driftline import`: readings of CSV files into the store, also while the service runs. What was imported before is
 * passed over; an import that was interrupted goes on where it was.
 *
 * @throws {AppError} READINGS_UNUSABLE, STORE_UNUSABLE, DISK_FULL, NOT_READY
 */
export async function importReadings(options: ImportOptions): Promise<void> {
  const { dir, files, preview, stderr, now } = options;
  if (preview !== null || options.dryRun) {
    for (const file of files) await showFile(file, options);
    return;
  }
  const target = await openImportTarget(dir, now);
  try {
    if (target.served) await stderr.write(`${dir}: a service runs on it and takes the readings over\n`);
    else options.onOwn(target.store);
    options.onBegun(target.store);
    for (const file of files) await importFile(file, target, options);
    await target.finish();
  } finally {
    await target.close();
  }
}

async function showFile(file: string, options: ImportOptions): Promise<void> {
  const { preview, stdout, stderr } = options;
  const { table, outcome } = await dryRun({ path: file, name: file }, { ...options, tell: teller(file, options) });
  await tellRead(file, outcome, stderr);
  if (preview !== null) {
    for (const piece of writeReadings(firstRows(table, preview))) await stdout.write(piece);
    return;
  }
  for (const { station, rows, from, to } of outcome.stations)
    await stdout.write(`${station}: ${counted(rows, 'row')}, ${formatTime(from)} to ${formatTime(to)}\n`);
  await stderr.write('dry run: nothing was stored\n');
}

function firstRows(table: ReadingsTable, count: number) {
  return table.stations.map((station) => {
    const { times, columns, strings } = table.frames(station);
    const head = Object.fromEntries(Object.entries(columns).map(([name, column]) => [name, column.slice(0, count)]));
    return { station, times: times.slice(0, count), columns: head, strings };
  });
}

async function importFile(file: string, target: ImportTarget, options: ImportOptions): Promise<void> {
  const { stderr } = options;
  const name = printable(file, 200);
  const outcome = await importOne({ path: file, name: file }, target, {
    ...options,
    tell: teller(file, options),
  });
  const { importedBefore, ahead, already = 0 } = outcome;
  await tellRead(file, outcome, stderr);
  if (importedBefore !== null)
    await stderr.write(`${name}: imported before, at ${formatTime(importedBefore)}; nothing to do\n`);
  if (already > 0)
    await stderr.write(
      `${name}: ${counted(already, 'of these readings was', 'of these readings were')} in the store already\n`,
    );
  if (ahead > 0) await stderr.write(`${name}: ${counted(ahead, 'reading')} not taken: ${REASONS['ahead-of-clock']}\n`);
}

/** What people should know of how a file was read. */
async function tellRead(file: string, { localHours, missing, thousands }: ImportOutcome, stderr: Sink): Promise<void> {
  const told = [
    ...(missing === null ? [] : [missingMarksText(missing)]),
    ...(thousands === null ? [] : [thousandsText(thousands)]),
    ...(localHours === null ? [] : localHoursText(localHours)),
  ];
  for (const text of told) await stderr.write(`${printable(file, 200)}: ${text}\n`);
}

/** Tells on standard error how a file comes on, of its pieces once a second and at the end. */
function teller(file: string, { stderr, now }: ImportOptions): (step: ImportStep) => Promise<void> {
  const name = printable(file, 200);
  let told = now();
  return async (step) => {
    if (step.kind === 'read') for (const one of step.reports) await stderr.write(`${summaryLine(one)}\n`);
    if (step.kind === 'goes-on') await stderr.write(`${name}: goes on at ${sharePerCent(step.pieces, step.of)} %\n`);
    if (step.kind !== 'stored' || (now() - told < 1000 && step.pieces < step.of)) return;
    told = now();
    await stderr.write(`${name}: ${sharePerCent(step.pieces, step.of)} %, ${step.readings} readings\n`);
  };
}
