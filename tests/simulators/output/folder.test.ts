import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parse as parseYaml } from 'yaml';
import { SUBJECTS } from '../../../collector/contract/log-entry.ts';
import { ACTIONS } from '../../../collector/contract/parts.ts';
import { Plant } from '../../../collector/contract/plant.ts';
import { simulateToFolder, Truth } from '../../../simulators/index.ts';
import { CsvRows, csvHeader } from '../../../simulators/output/csv-rows.ts';
import { DecimalWriter } from '../../../simulators/output/decimal-writer.ts';
import { runAll, smallHall } from '../small-hall.ts';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'driftline-simulate-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

describe('rows of a logger export', () => {
  for (const time of ['iso', 'unix'] as const)
    it(`say again what the sensors said, with times as ${time}`, () => {
      const frames = runAll(smallHall({ weeks: 1 })).get('gun-01')![1]!;
      const channels = Object.keys(frames.columns) as (keyof typeof frames.columns)[];
      const layout = {
        channels,
        time,
        timezone: 'Europe/Vienna',
        kilopascal: time === 'unix' ? (['conveying/pressure'] as const) : [],
        lineEnd: '\r\n',
        idColumn: 'gun',
        byteOrderMark: true,
      } as const;
      const writer = new DecimalWriter();
      const rows = new CsvRows(layout, writer);
      for (let row = 0; row < frames.times.length; row++) rows.row(frames, row, frames.times[row]!);
      const text = csvHeader(layout) + writer.take().toString();
      const read = parse(text, { columns: true, bom: true }) as Record<string, string>[];
      expect(read).toHaveLength(frames.times.length);
      let wrong = 0;
      for (const [row, line] of read.entries()) {
        const stamp = time === 'iso' ? Date.parse(line.time!) : Number(line.time) * 1000;
        if (Math.abs(stamp - frames.times[row]!) > 0.01) wrong++;
        for (const channel of channels) {
          const truth = frames.columns[channel]![row]!;
          const [cell, unit] = line[channel] === undefined ? [line[`${channel} [kPa]`]!, 100] : [line[channel], 1];
          if (Number.isNaN(truth)) wrong += cell === '' ? 0 : 1;
          else if (channel === 'powder/id') wrong += cell === frames.strings[truth] ? 0 : 1;
          else wrong += cell !== '' && Math.abs(Number(cell) / unit - truth) < 1e-6 ? 0 : 1;
        }
      }
      expect(wrong).toBe(0);
    });
});

describe('a scenario in a folder', () => {
  it('holds a plant, readings, a log and a truth that fit together', async () => {
    const { rows, truth } = await simulateToFolder({ scenario: 'seals', seed: 3, out: folder });
    const plant = Plant.parse(parseYaml(readFileSync(join(folder, 'plant.yaml'), 'utf8')));
    const guns = plant.guns.map(({ id }) => id);
    const stations = new Set([...guns, ...plant.air.map(({ id }) => id)]);
    let read = 0;
    for (const name of readdirSync(folder).filter((file) => file.startsWith('readings-'))) {
      const lines = gunzipSync(readFileSync(join(folder, name)))
        .toString()
        .trimEnd()
        .split(/\r?\n/);
      read += lines.length - 1;
      expect(lines.slice(1).every((line) => stations.has(line.split(',')[1]!))).toBe(true);
    }
    expect(read).toBe(rows);
    const log = parse(readFileSync(join(folder, 'log.csv')), { columns: true }) as Record<string, string>[];
    expect(log.length).toBeGreaterThan(20);
    for (const { gun, part, action } of log) {
      expect(guns).toContain(gun);
      expect(SUBJECTS).toContain(part);
      expect(ACTIONS).toContain(action);
    }
    const times = log.map(({ time }) => Date.parse(time!));
    expect(times).toEqual([...times].sort((left, right) => left - right));
    expect(Truth.parse(JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8')))).toEqual(truth);
    for (const change of truth.changes.filter(({ logged }) => logged))
      expect(
        log.some(
          ({ gun, part, time }) =>
            gun === change.gun && part === change.part && Math.abs(Date.parse(time!) - Date.parse(change.time)) < 1000,
        ),
      ).toBe(true);
  }, 60_000);

  it('is refused for a name that is none, with the names that are', async () => {
    const out = join(folder, 'never');
    await expect(simulateToFolder({ scenario: 'seal', seed: 1, out })).rejects.toMatchObject({
      code: 'USAGE',
      message: expect.stringMatching(/"seal" is not known; expected one of insert-lives, seals, /),
    });
    await expect(simulateToFolder({ scenario: 'seals', seed: 1.5, out })).rejects.toMatchObject({ code: 'USAGE' });
  });

  it('is refused where it cannot be written', async () => {
    const file = join(folder, 'a-file');
    writeFileSync(file, '');
    await expect(simulateToFolder({ scenario: 'seals', seed: 1, out: join(file, 'below') })).rejects.toMatchObject({
      code: 'STORE_UNUSABLE',
      message: expect.stringContaining('a-file'),
    });
  });
});
