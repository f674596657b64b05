import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { type Finding, type Frames, type Pack, RUN_FIELDS, type RunField } from '../../../collector/contract/index.ts';
import { exportReadings } from '../../../collector/export-readings.ts';
import { HistorianConfig } from '../../../collector/historian/historian-config.ts';
import { Influx1Target } from '../../../collector/historian/influx1-target.ts';
import { type Historian, startHistorian } from '../../../collector/historian/start-historian.ts';
import { silentLog } from '../../../collector/log.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import type { Store, Writer } from '../../../collector/store/store.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { hasDebianTool } from '../../debian-tool.ts';
import { tempDir } from '../store/temp-dir.ts';
import { TestServer } from './servers.ts';

const START = Date.parse('2026-03-02T06:00:00Z');
const EVERY = Number.MAX_SAFE_INTEGER;
/** How often the server is killed. Source: what has to hold; kept small by short rounds. */
const KILLS = 10;
/** Ten starts of the server and two hundred commits, one after the other, beside other tests on one disk. */
const KILLS_MS = 90_000;

const influxd = hasDebianTool('/usr/bin/influxd', 'influxdb', 'the test against a real InfluxDB 1.x');
const victoria = hasDebianTool('/usr/bin/victoria-metrics', 'victoria-metrics', 'the test of the 2.x client');

/** A second's readings of a gun: pressure, flow, trigger, now and then a powder. */
function pack(station: string, from: number, seconds: number): Pack {
  const made: Pack = {
    station,
    times: [],
    channels: [],
    values: [],
    strings: ['p-white-07', 'p "black", 9=x'],
    provenance: '',
  };
  for (let i = from; i < from + seconds; i++) {
    const time = START + 1000 * i;
    const push = (channel: number, value: number): void => {
      made.times.push(time);
      made.channels.push(channel);
      made.values.push(value);
    };
    push(0, Math.round(16_000 + 500 * Math.sin(i)) / 10_000);
    if (i % 3 === 0) push(1, (2400 + (i % 100)) / 1000);
    push(13, i % 60 < 40 ? 1 : 0);
    if (i % 50 === 0) push(12, (i / 50) % 2);
  }
  return made;
}

interface Hall {
  readonly dir: string;
  readonly writer: Writer;
  readonly store: Store;
}

async function openHall(): Promise<Hall> {
  const dir = tempDir();
  const writer = await startWriter(dir, { tailBytes: 16 * 1024 });
  return { dir, writer, store: openStore(dir) };
}

async function closeHall({ writer, store }: Hall): Promise<void> {
  await writer.stop();
  store.close();
}

/** Waits until nothing waits, looking at the store itself. */
async function delivered(store: Store, historian: Historian): Promise<void> {
  for (let left = 600; store.historian.waiting() > 0 || historian.state().caughtUpAt === null; left--) {
    if (left === 0) throw new Error(`still waiting: ${JSON.stringify(historian.state())}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

async function readBack(
  config: HistorianConfig,
  station: string,
): Promise<{ times: number[]; columns: Record<string, unknown[]> }> {
  const times: number[] = [];
  const columns: Record<string, unknown[]> = {};
  for await (const frames of new Influx1Target(config).read('hall-2', station, 0, START + 1e9))
    add(frames, times, columns);
  return { times, columns };
}

function add(frames: Frames, times: number[], columns: Record<string, unknown[]>): void {
  for (const [row, time] of frames.times.entries()) {
    times.push(time);
    for (const [name, column] of Object.entries(frames.columns)) {
      columns[name] ??= [];
      const value = column[row]!;
      if (!Number.isNaN(value)) columns[name].push(name === 'powder/id' ? frames.strings[value] : value);
    }
  }
}

function held(store: Store, station: string): { times: number[]; columns: Record<string, unknown[]> } {
  const times: number[] = [];
  const columns: Record<string, unknown[]> = {};
  add(store.readings.frames(station, 0, EVERY), times, columns);
  return { times, columns };
}

async function exported(dir: string, historian: HistorianConfig | null): Promise<string> {
  const pieces: string[] = [];
  await exportReadings({ dir, historian, stdout: { write: (text) => void pieces.push(text) } });
  return pieces.join('');
}

const FINDING: Finding = {
  gun: 'gun-01',
  cause: 'pump-insert',
  category: 'maintenance-required',
  onset: '2026-03-02T06:00:00.000Z',
  raised: '2026-03-02T06:30:00.000Z',
  asOf: '2026-03-02T06:30:00.000Z',
  cleared: null,
  candidates: [{ cause: 'pump-insert', probability: 0.86 }],
  excessAir: 0.118,
  remaining: { sprayHours: { p10: 22, p50: 37, p90: 61 } },
  evidence: ['conveying air up, "no step"', 'a, b = c'],
};

describe.skipIf(!influxd)('InfluxDB 1.x of Debian', () => {
  let server: TestServer;
  let config: HistorianConfig;
  let hall: Hall;
  let count = 0;
  beforeAll(async () => {
    server = await TestServer.influx1();
    await server.start();
  });
  afterAll(() => server.end());
  beforeEach(async () => {
    // An answer that breaks off when the server is killed is waited for as long as a request may take.
    config = HistorianConfig.parse({ kind: 'influx1', url: server.url, database: `hall_${count++}`, timeoutS: 5 });
    hall = await openHall();
  });
  const start = (): Historian =>
    startHistorian({ store: hall.store, dir: hall.dir, site: 'hall-2', config, log: silentLog })!;
  const query = async (text: string): Promise<(string | number)[][]> => {
    const asked = new URLSearchParams({ db: config.database, q: text, epoch: 'ms' });
    const answer = await (await fetch(`${server.url}/query?${asked}`)).json();
    return (
      (answer as { results: { series?: { values: (string | number)[][] }[] }[] }).results[0]?.series?.[0]?.values ?? []
    );
  };

  test('gets history, tail, late and conflicting readings, and gives them back as the store has them', async () => {
    await hall.writer.commit({ packs: [pack('gun-01', 0, 3000), pack('gun-02', 100, 50)] });
    await hall.writer.settle();
    const historian = start();
    await hall.writer.commit({ packs: [pack('gun-01', 5000, 200)] });
    await hall.writer.commit({ packs: [pack('gun-01', 4000, 30)] });
    // The same times with other values: the first committed stay, here and there.
    const other = pack('gun-01', 5000, 50);
    await hall.writer.commit({ packs: [{ ...other, values: other.values.map((value) => (value > 1.4 ? 9 : value)) }] });
    await delivered(hall.store, historian);
    for (const station of ['gun-01', 'gun-02'])
      expect(await readBack(config, station)).toEqual(held(hall.store, station));
    expect(historian.state()).toMatchObject({ refused: 0, fault: null });
    await historian.stop();
    await closeHall(hall);
  });

  test('gets runs and findings, and of a finding its last state once', async () => {
    const historian = start();
    const columns = Object.fromEntries(
      RUN_FIELDS.map((field, i) => [
        field,
        Float64Array.of(
          field === 'start' ? START : field === 'powder' ? 0 : i / 8,
          field === 'start' ? START + 9000 : field === 'powder' ? 0 : Number.NaN,
        ),
      ]),
    ) as Record<RunField, Float64Array>;
    hall.store.runs.replace('gun-01', 0, { gun: 'gun-01', length: 2, columns, powders: ['p-1'] });
    hall.store.findings.save([FINDING], START);
    await delivered(hall.store, historian);
    hall.store.findings.save([{ ...FINDING, cleared: '2026-03-02T08:00:00.000Z', category: 'failure' }], START + 1);
    await delivered(hall.store, historian);
    expect(await query('SELECT "samples", "powder" FROM "run" ORDER BY time')).toEqual([
      [START, RUN_FIELDS.indexOf('samples') / 8, 'p-1'],
      [START + 9000, null, 'p-1'],
    ]);
    expect(await query('SELECT "category", "open", "cleared", "p50", "body" FROM "finding"')).toEqual([
      [
        Date.parse(FINDING.raised),
        'failure',
        0,
        Date.parse('2026-03-02T08:00:00Z'),
        37,
        expect.stringContaining('a, b = c'),
      ],
    ]);
    await historian.stop();
    await closeHall(hall);
  });

  test(
    'loses nothing and doubles nothing when it is killed again and again under load',
    async () => {
      const historian = start();
      let second = 0;
      let killed = 0;
      for (let kill = 0; kill < KILLS; kill++) {
        await server.start();
        for (let i = 0; i < 20; i++) {
          await hall.writer.commit({ packs: [pack('gun-01', second, 40), pack('gun-02', second, 40)] });
          second += 40;
          if (i === 5 + kill && (await server.kill())) killed++;
        }
      }
      await server.start();
      await delivered(hall.store, historian);
      expect(killed).toBe(KILLS);
      const kept = held(hall.store, 'gun-01');
      expect(kept.times).toHaveLength(KILLS * 20 * 40);
      expect(await readBack(config, 'gun-01')).toEqual(kept);
      expect((await readBack(config, 'gun-02')).times).toHaveLength(KILLS * 20 * 40);
      await historian.stop();
      await closeHall(hall);
    },
    KILLS_MS,
  );

  test('catches up after an outage over a restart of ours, with nothing slowed down meanwhile', async () => {
    await server.kill();
    const first = start();
    for (let i = 0; i < 50; i++) await hall.writer.commit({ packs: [pack('gun-01', 100 * i, 100)] });
    await hall.writer.settle();
    expect(hall.store.historian.waiting()).toBeGreaterThan(0);
    await first.stop();
    await closeHall(hall);
    const writer = await startWriter(hall.dir);
    hall = { dir: hall.dir, writer, store: openStore(hall.dir) };
    const second = start();
    await hall.writer.commit({ packs: [pack('gun-01', 5000, 10)] });
    await server.start();
    await delivered(hall.store, second);
    expect(await readBack(config, 'gun-01')).toEqual(held(hall.store, 'gun-01'));
    await second.stop();
    await closeHall(hall);
  });

  test('readings that are thinned here are read back from there', async () => {
    const historian = start();
    hall.store.states.put('plant', Buffer.from('{"site":{"id":"hall-2"}}'));
    await hall.writer.commit({ packs: [pack('gun-01', 0, 600), pack('gun-01', 5 * 86_400, 10)] });
    await hall.writer.settle();
    await delivered(hall.store, historian);
    const whole = await exported(hall.dir, null);
    const rules = { rawDays: 1, thinnedDays: 0, runsDays: 0, thinnedMinutes: 10 };
    await hall.writer.retain(rules, START + 5 * 86_400_000);
    expect(hall.store.readings.thinnedAway('gun-01')?.frames).toBe(512);
    expect((await exported(hall.dir, null)).split('\n')).toHaveLength(whole.split('\n').length - 512);
    expect(await exported(hall.dir, config)).toBe(whole);
    await server.kill();
    await expect(exported(hall.dir, config)).rejects.toThrow(/cannot be read .*readings of gun-01 before 2026-03-02T/);
    await server.start();
    await historian.stop();
    await closeHall(hall);
  });

  test('readings that wait are not thinned before they are delivered', async () => {
    hall.store.historian.begin('elsewhere');
    await hall.writer.commit({ packs: [pack('gun-01', 0, 600), pack('gun-01', 5 * 86_400, 10)] });
    await hall.writer.settle();
    const rules = { rawDays: 1, thinnedDays: 0, runsDays: 0, thinnedMinutes: 10 };
    await hall.writer.retain(rules, START + 5 * 86_400_000);
    expect(hall.store.readings.thinnedAway('gun-01')).toBeNull();
    hall.store.historian.end();
    await hall.writer.retain(rules, START + 5 * 86_400_000);
    expect(hall.store.readings.thinnedAway('gun-01')?.frames).toBe(512);
    await closeHall(hall);
  });
});

test.skipIf(!victoria)('the 2.x client delivers numbers to a real server that takes its writes', async () => {
  const server = await TestServer.victoria();
  await server.start();
  const hall = await openHall();
  const config = HistorianConfig.parse({
    kind: 'influx2',
    url: server.url,
    org: 'o',
    bucket: 'b',
    token: 'open-sesame',
  });
  const historian = startHistorian({ store: hall.store, dir: hall.dir, site: 'hall-2', config, log: silentLog })!;
  await hall.writer.commit({ packs: [pack('gun-01', 0, 300)] });
  await delivered(hall.store, historian);
  await fetch(`${server.url}/internal/force_flush`);
  const asked = new URLSearchParams({ 'match[]': '{station="gun-01"}', start: '0' });
  const lines = (await (await fetch(`${server.url}/api/v1/export?${asked}`)).text()).trim().split('\n');
  const series = new Map(
    lines.map((line) => {
      const { metric, values, timestamps } = JSON.parse(line) as {
        metric: { __name__: string };
        values: number[];
        timestamps: number[];
      };
      return [metric.__name__, { values, timestamps }];
    }),
  );
  const { times, columns } = held(hall.store, 'gun-01');
  expect(series.get('reading_conveying/pressure')).toEqual({
    values: columns['conveying/pressure'],
    timestamps: times,
  });
  expect(series.get('reading_trigger')?.values).toEqual(columns.trigger);
  expect(series.get('reading_conveying/flow')?.values).toEqual(columns['conveying/flow']);
  await historian.stop();
  await closeHall(hall);
  await server.end();
});
