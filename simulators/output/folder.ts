import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import { CHANNEL_NAMES, type Channel } from '../../collector/contract/channels.ts';
import { AppError } from '../../collector/contract/errors.ts';
import { Random } from '../random.ts';
import { buildHall } from '../scenarios/build-hall.ts';
import type { Hall } from '../scenarios/hall.ts';
import { scenarioOf } from '../scenarios/registry.ts';
import { type HallDay, runHall } from '../simulation.ts';
import type { Truth } from '../truth.ts';
import { writeDay, writeLate } from './csv-day.ts';
import { type CsvLayout, CsvRows, csvHeader } from './csv-rows.ts';
import { DecimalWriter } from './decimal-writer.ts';
import { logCsv } from './log-csv.ts';
import { plantYaml } from './plant-file.ts';
import { truthOf } from './truth-of.ts';

const deflate = promisify(gzip);

/** How the loggers of a hall write: mostly plainly; one in three halls has kPa, Unix seconds, CRLF or another order. */
function layoutOf(hall: Hall): CsvLayout {
  const random = new Random(hall.chance, 'layout');
  const fitted = new Set<Channel>(hall.guns.flatMap(({ spec }) => spec.channels));
  if (hall.points.length > 0)
    for (const channel of ['supply/pressure', 'supply/temperature', 'supply/dewpoint'] as const) fitted.add(channel);
  const channels = CHANNEL_NAMES.filter((name) => fitted.has(name));
  const plain = random.chance(0.67);
  return {
    channels: plain ? channels : [...channels].reverse(),
    time: plain ? 'iso' : 'unix',
    timezone: hall.setting.timezone,
    kilopascal: plain ? [] : ['conveying/pressure', 'conveying/ripple'],
    lineEnd: plain ? '\n' : '\r\n',
    idColumn: plain ? 'gun' : 'station',
    byteOrderMark: !plain,
  };
}

/** Writes numbered gzip files, each with its header. */
class ReadingFiles {
  readonly #folder: string;
  readonly #layout: CsvLayout;
  readonly #writer = new DecimalWriter();
  readonly rows: CsvRows;
  #file = 0;

  constructor(folder: string, layout: CsvLayout) {
    this.#folder = folder;
    this.#layout = layout;
    this.rows = new CsvRows(layout, this.#writer);
  }

  async close(): Promise<void> {
    if (this.#writer.length === 0) return;
    const name = `readings-${String(++this.#file).padStart(2, '0')}.csv.gz`;
    const text = Buffer.concat([Buffer.from(csvHeader(this.#layout)), this.#writer.take()]);
    await writeFile(join(this.#folder, name), await deflate(text, { level: 1 }));
  }
}

/** First and last true time in a day's reports, or null on a day off. */
function bounds({ sent }: HallDay): { start: number; end: number } | null {
  let start = Number.POSITIVE_INFINITY;
  let end = Number.NEGATIVE_INFINITY;
  for (const { times } of sent.map(({ frames }) => frames))
    if (times.length > 0) {
      start = Math.min(start, times[0]!);
      end = Math.max(end, times[times.length - 1]!);
    }
  return end > start ? { start, end } : null;
}

/**
 * Simulates a scenario into a folder: `plant.yaml`, `readings-*.csv.gz` (a file a week, late reports in the next week's file),
 * `log.csv`, `truth.json`.
 *
 * @returns count of rows and the truth
 * @throws {AppError} USAGE for an unknown scenario, or a seed that is no whole number; STORE_UNUSABLE for a folder that cannot be written
 */
export async function simulateToFolder(task: {
  readonly scenario: string;
  readonly seed: number;
  readonly out: string;
}): Promise<{ rows: number; truth: Truth }> {
  const scenario = scenarioOf(task.scenario);
  if (!Number.isSafeInteger(task.seed)) throw new AppError('USAGE', `seed ${task.seed}, expected a whole number`);
  try {
    await mkdir(task.out, { recursive: true });
    await writeFile(join(task.out, 'plant.yaml'), '');
  } catch (cause) {
    throw new AppError('STORE_UNUSABLE', `folder ${task.out} cannot be written: ${(cause as Error).message}`, {
      cause,
    });
  }
  const hall = buildHall(scenario, task.seed);
  const files = new ReadingFiles(task.out, layoutOf(hall));
  const late: ReturnType<typeof writeDay>['late'] = [];
  let rows = 0;
  let start = Number.POSITIVE_INFINITY;
  let end = Number.NEGATIVE_INFINITY;
  let days = 0;
  for (const day of runHall(hall)) {
    const seen = bounds(day);
    if (seen) {
      start = Math.min(start, seen.start);
      end = Math.max(end, seen.end);
    }
    const outcome = writeDay(files.rows, day.sent);
    rows += outcome.written;
    late.push(...outcome.late);
    if (++days % 7 !== 0) continue;
    await files.close();
    rows += writeLate(files.rows, late.splice(0));
  }
  rows += writeLate(files.rows, late);
  await files.close();
  const truth = truthOf(hall, start, end);
  const log = hall.guns.flatMap(({ maintenance }) => maintenance.log);
  await writeFile(join(task.out, 'plant.yaml'), plantYaml(hall));
  await writeFile(join(task.out, 'log.csv'), logCsv(log, hall.setting.timezone));
  await writeFile(join(task.out, 'truth.json'), JSON.stringify(truth));
  return { rows, truth };
}
