import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { expect, onTestFinished, test } from 'vitest';
import { CHANNELS } from '../../../collector/contract/index.ts';
import { openStore, startWriter } from '../../../collector/index.ts';
import { tableCsv } from '../../../dashboard/export/table-csv.ts';
import { thinnedTable } from '../../../dashboard/export/thinned-table.ts';

const START = Date.UTC(2026, 2, 2, 6);
const DAY = 86_400_000;
const TEN_MINUTES = 600_000;

const PRESSURE = CHANNELS.findIndex(({ name }) => name === 'conveying/pressure');
const TRIGGER = CHANNELS.findIndex(({ name }) => name === 'trigger');

/** Pressure and trigger of half an hour of a day, every 10 s, as a pack. */
function halfHour(day: number) {
  const rows = Array.from({ length: 180 }, (_, row) => ({
    time: START + day * DAY + 10_000 * row,
    pressure: Math.round(15_000 + 1000 * Math.sin(row)) / 10_000,
    trigger: row % 4 === 0 ? 1 : 0,
  }));
  return {
    station: 'gun-01',
    times: rows.flatMap(({ time }) => [time, time]),
    channels: rows.flatMap(() => [PRESSURE, TRIGGER]),
    values: rows.flatMap(({ pressure, trigger }) => [pressure, trigger]),
    strings: [],
    provenance: '',
  };
}

test('what retention has thinned goes out: lowest, mean, highest and count of each span, as of the readings that are gone', async () => {
  const dir = mkdtempSync(join(tmpdir(), 'driftline-thinned-'));
  const writer = await startWriter(dir);
  const days = [0, 1, 40, 45].map(halfHour);
  await writer.commit({ packs: days });
  await writer.settle();
  await writer.retain({ rawDays: 2, thinnedDays: 0, runsDays: 0, thinnedMinutes: 10 }, START + 46 * DAY);
  const store = openStore(dir);
  onTestFinished(async () => {
    store.close();
    await writer.stop();
    rmSync(dir, { recursive: true, force: true });
  });
  const span = { from: null, to: null };
  const rows = parse([...tableCsv(thinnedTable(store, span, null))].join(''), { columns: true }) as Record<
    string,
    string
  >[];
  const gone = store.readings.thinnedAway('gun-01')!;
  const expected = days.flatMap(({ times, channels, values: all }) =>
    [0, 1, 2].flatMap((part) =>
      [PRESSURE, TRIGGER].flatMap((channel) => {
        const start = times[0]! + part * TEN_MINUTES;
        const end = Math.min(start + TEN_MINUTES, gone.rawFrom);
        const values = all.filter((_, at) => channels[at] === channel && times[at]! >= start && times[at]! < end);
        if (values.length === 0) return [];
        const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
        return [{ time: new Date(start).toISOString(), channel: CHANNELS[channel]!.name, values, mean }];
      }),
    ),
  );
  expect(rows.map(({ time, channel }) => [time, channel])).toEqual(
    expected.map(({ time, channel }) => [time, channel]),
  );
  for (const [index, { values, mean }] of expected.entries()) {
    const row = rows[index]!;
    expect(row).toMatchObject({ gun: 'gun-01', minutes: '10', readings: String(values.length) });
    expect([Number(row.lowest), Number(row.highest)]).toEqual([Math.min(...values), Math.max(...values)]);
    expect(Number(row.mean)).toBeCloseTo(mean, 9);
  }
  expect(rows[0]).toMatchObject({ unit: 'bar' });
  expect(rows.find(({ channel }) => channel === 'trigger')).toMatchObject({ unit: '' });
  expect(
    [...tableCsv(thinnedTable(store, { from: START + DAY, to: START + DAY + TEN_MINUTES }, null))]
      .join('')
      .trim()
      .split('\r\n'),
  ).toHaveLength(3);
  expect([...tableCsv(thinnedTable(store, span, 'gun-02'))].join('').trim().split('\r\n')).toHaveLength(1);
});
