import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { analyzeFiles } from '../../../analyzer/batch/index.ts';
import { exportFindings, type Live, startLive } from '../../../analyzer/index.ts';
import type { Finding, LogEntry, Pack } from '../../../collector/contract/index.ts';
import { textMemory } from '../batch/text-memory.ts';
import { openHall, packsOf } from './live-hall.ts';
import { PLANT } from './made-up-hall.ts';
import { readingsCsv } from './readings-csv.ts';
import { wearingHall } from './wearing-hall.ts';

const { frames, log } = wearingHall();
const packs = (rows: number): Pack[] => [...frames.values()].flatMap((one) => packsOf(one, rows));

describe('one analyzer for files and live readings', () => {
  const open: (() => Promise<void>)[] = [];
  afterEach(async () => {
    for (const close of open.splice(0).reverse()) await close();
  });
  const newHall = async () => {
    const hall = await openHall();
    open.push(() => hall.close());
    return hall;
  };
  const start = async (dir: string): Promise<Live> => {
    const live = await startLive({ dir, plant: PLANT });
    open.push(() => live.stop());
    return live;
  };

  const fromFiles = async (dir: string): Promise<Finding[]> => {
    const plantPath = join(dir, 'plant.yaml');
    const [readingsPath, logPath] = [join(dir, 'readings.csv'), join(dir, 'log.csv')];
    writeFileSync(plantPath, JSON.stringify(PLANT));
    writeFileSync(readingsPath, readingsCsv([...frames.values()]));
    const rows = log.map((e) =>
      [new Date(e.time).toISOString(), e.gun, e.part, e.action, e.found ?? '', e.note].join(','),
    );
    writeFileSync(logPath, `time,gun,part,action,found,note\n${rows.join('\n')}\n`);
    const stdout = textMemory();
    await analyzeFiles({
      plantPath,
      readingsPaths: [readingsPath],
      logPath,
      snapshots: false,
      stdout,
      stderr: textMemory(),
    });
    return stdout.text
      .split('\n')
      .filter(Boolean)
      .map((line) => JSON.parse(line) as Finding);
  };

  it('gives the same findings from a file, in order, and late and shuffled, through the store and its thread', async () => {
    const hall = await newHall();
    const expected = await fromFiles(hall.dir);
    expect(expected.length).toBeGreaterThan(1);
    const record = (entry: LogEntry): void => void hall.store.log.add(entry, { recordedAt: 0, source: 'test' });

    for (const entry of log) record(entry);
    const live = await start(hall.dir);
    for (const pack of packs(2000).sort((a, b) => a.times[0]! - b.times[0]!))
      live.notify((await hall.writer.commit({ packs: [pack] })).stations);
    await live.settled();
    expect(live.latest?.findings).toEqual(expected);

    const late = await newHall();
    const behind = await start(late.dir);
    const order = packs(1500).map((pack, index) => ({ pack, key: Math.imul(index + 1, 2654435761) >>> 0 }));
    for (const [index, { pack }] of order.sort((a, b) => a.key - b.key).entries()) {
      behind.notify((await late.writer.commit({ packs: [pack] })).stations);
      const entry = log[index];
      if (entry) {
        late.store.log.add(entry, { recordedAt: index, source: 'test' });
        behind.logChanged();
      }
    }
    await behind.settled();
    expect(behind.latest?.findings).toEqual(expected);
    const courseOf = ({ store }: Awaited<ReturnType<typeof newHall>>) =>
      PLANT.guns.map(({ id }) => store.traces.list(id, 0, Number.POSITIVE_INFINITY));
    const course = courseOf(hall);
    expect(course.some((points) => points.some(({ excess }) => excess !== null))).toBe(true);
    expect(courseOf(late)).toEqual(course);

    const exported = textMemory();
    await behind.stop();
    await exportFindings({ dir: late.dir, stdout: exported });
    expect(
      exported.text
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line)),
    ).toEqual(expected);

    const again = await start(late.dir);
    await again.settled();
    expect(again.latest?.findings).toEqual(expected);
  }, 120_000);

  it('shows a reading that has just come within two seconds', async () => {
    const hall = await newHall();
    const live = await start(hall.dir);
    live.notify((await hall.writer.commit({ packs: packs(4000).slice(0, 2) })).stations);
    await live.settled();
    const update = new Promise<number>((resolve) => live.onUpdate(() => resolve(performance.now())));
    const began = performance.now();
    live.notify((await hall.writer.commit({ packs: packs(4000).slice(2, 3) })).stations);
    expect((await update) - began).toBeLessThan(2000);
  });
});
