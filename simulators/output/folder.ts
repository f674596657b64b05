import { mkdir, open, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import { stringify } from 'csv-stringify/sync';
import { CHANNEL_NAMES, type Channel } from '../../collector/contract/channels.ts';
import { AppError } from '../../collector/contract/errors.ts';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import { isoWithOffset } from '../calendar/shop-day.ts';
import { buildHall, type Hall } from '../scenarios/build-hall.ts';
import { scenarioOf } from '../scenarios/registry.ts';
import { type HallDay, runHall } from '../simulation.ts';
import type { Truth } from '../truth.ts';
import { type CsvLayout, CsvRows, csvHeader } from './csv-rows.ts';
import { DecimalWriter } from './decimal-writer.ts';
import { plantYaml } from './plant-file.ts';
import { truthOf } from './truth-of.ts';

const deflate = promisify(gzip);

/** The maintenance log of a hall as the contract's CSV. */
export function logCsv(entries: readonly LogEntry[], timezone: string): string {
  const rows = [...entries]
    .sort((left, right) => left.time - right.time || (left.gun < right.gun ? -1 : 1))
    .map(({ time, gun, part, action, found, note }) => [
      isoWithOffset(time, timezone),
      gun,
      part,
      action,
      found ?? '',
      note,
    ]);
  return stringify([['time', 'gun', 'part', 'action', 'found', 'note'], ...rows]);
}

function layoutOf(hall: Hall): CsvLayout {
  const fitted = new Set<Channel>(hall.guns.flatMap(({ spec }) => spec.channels));
  return {
    channels: CHANNEL_NAMES.filter((name) => fitted.has(name)),
    time: 'iso',
    timezone: hall.setting.timezone,
    kilopascal: [],
    lineEnd: '\n',
    idColumn: 'gun',
    byteOrderMark: false,
  };
}

/** Rows of all stations of a day, by time. */
function writeDay(rows: CsvRows, { stations }: HallDay): number {
  const places = stations.map(() => 0);
  let written = 0;
  for (;;) {
    let next = -1;
    let earliest = Number.POSITIVE_INFINITY;
    for (let index = 0; index < stations.length; index++) {
      const time = stations[index]!.times[places[index]!];
      if (time !== undefined && time < earliest) {
        earliest = time;
        next = index;
      }
    }
    if (next < 0) return written;
    rows.row(stations[next]!, places[next]!++, earliest);
    written++;
  }
}

/**
 * Simulates a scenario into a folder: `plant.yaml`, `readings-*.csv.gz` (a file a week), `log.csv`, `truth.json`.
 *
 * @throws {AppError} USAGE for an unknown scenario, a seed that is no whole number, or a folder that cannot be written
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
  } catch (cause) {
    throw new AppError('USAGE', `folder ${task.out} cannot be made: ${(cause as Error).message}`, { cause });
  }
  const hall = buildHall(scenario, task.seed);
  const layout = layoutOf(hall);
  const writer = new DecimalWriter();
  const rows = new CsvRows(layout, writer);
  let count = 0;
  let days = 0;
  let file = 0;
  let start = Number.NaN;
  let end = Number.NaN;
  const flush = async (): Promise<void> => {
    if (writer.length === 0) return;
    file++;
    const handle = await open(join(task.out, `readings-${String(file).padStart(2, '0')}.csv.gz`), 'w');
    try {
      await handle.writeFile(
        await deflate(Buffer.concat([Buffer.from(csvHeader(layout)), writer.take()]), { level: 1 }),
      );
    } finally {
      await handle.close();
    }
  };
  for (const day of runHall(hall)) {
    for (const { times } of day.stations) {
      if (times.length === 0) continue;
      if (Number.isNaN(start) || times[0]! < start) start = times[0]!;
      end = times[times.length - 1]!;
    }
    count += writeDay(rows, day);
    if (++days % 7 === 0) await flush();
  }
  await flush();
  const truth = truthOf(hall, start, end);
  const log = hall.guns.flatMap(({ maintenance }) => maintenance.log);
  await writeFile(join(task.out, 'plant.yaml'), plantYaml(hall));
  await writeFile(join(task.out, 'log.csv'), logCsv(log, hall.setting.timezone));
  await writeFile(join(task.out, 'truth.json'), JSON.stringify(truth));
  return { rows: count, truth };
}
