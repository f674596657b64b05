import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyzeFilesWith } from '../../../analyzer/batch/analyze-files.ts';
import type { SitePipeline } from '../../../analyzer/index.ts';
import { byRaised, findingLine } from '../../../analyzer/index.ts';
import type { Finding } from '../../../collector/contract/index.ts';
import { madeUpHall } from '../live/made-up-hall.ts';
import { readingsCsv } from '../live/readings-csv.ts';
import { tallyPipeline } from '../live/tally-pipeline.ts';
import { textMemory } from './text-memory.ts';

const PLANT_FILE = `site: { id: hall-1, timezone: Europe/Vienna }
guns: [{ id: gun-1 }, { id: gun-2, output: setpoint }, { id: gun-3 }]
air: [{ id: dryer }]
`;
const LOG_FILE = 'time,gun,part,action,found,note\n2025-09-22T07:00:00+02:00,gun-1,pump-insert,replaced,worn,\n';

describe('analysing files', () => {
  let dir = '';
  const write = (name: string, content: string | Buffer): string => {
    const path = join(dir, name);
    writeFileSync(path, content);
    return path;
  };
  beforeAll(() => {
    dir = mkdtempSync(join(tmpdir(), 'driftline-analyze-'));
  });
  afterAll(() => rmSync(dir, { recursive: true, force: true }));

  const run = async <State>(
    readings: string[],
    more: { log?: string; settings?: string; plant?: string; snapshots?: boolean; pipeline?: SitePipeline<State> } = {},
  ): Promise<{ out: string; err: string; error: unknown }> => {
    const [stdout, stderr] = [textMemory(), textMemory()];
    let error: unknown = null;
    try {
      await analyzeFilesWith((more.pipeline ?? tallyPipeline) as SitePipeline<unknown>, {
        plantPath: write('plant.yaml', more.plant ?? PLANT_FILE),
        readingsPaths: readings,
        logPath: more.log,
        settingsPath: more.settings,
        snapshots: more.snapshots ?? false,
        stdout,
        stderr,
      });
    } catch (thrown) {
      error = thrown;
    }
    return { out: stdout.text, err: stderr.text, error };
  };

  it('gives the same whether rows are sorted, packed, mixed or spread over files', async () => {
    const frames = [...madeUpHall(1).values()];
    const whole = await run([write('all.csv', readingsCsv(frames))], { log: write('log.csv', LOG_FILE) });
    expect(whole.error).toBeNull();
    expect(whole.out.trim().split('\n')).toHaveLength(4);
    expect(whole.err).toMatch(/^\S*all\.csv: \d+ rows, 0 unusable\n$/);
    const mixed = write('mixed.csv.gz', gzipSync(readingsCsv(frames, (rows) => rows.reverse())));
    expect((await run([mixed], { log: join(dir, 'log.csv') })).out).toBe(whole.out);
    const parts = frames.map((one, index) => write(`part-${index}.csv`, readingsCsv([one])));
    expect((await run([...parts, parts[0]!], { log: join(dir, 'log.csv') })).out).toBe(whole.out);
  });

  it('writes nothing and says what is wrong when a file is unusable', async () => {
    const good = write('good.csv', readingsCsv([...madeUpHall(1).values()]));
    const bad = write('empty.csv', '');
    for (const [attempt, code] of [
      [() => run([good, bad]), 'READINGS_UNUSABLE'],
      [
        () => run([good], { log: write('bad-log.csv', `${LOG_FILE}2025-09-22T07:00:00Z,gun-9,nozzle,replaced,,\n`) }),
        'LOG_UNUSABLE',
      ],
      [() => run([good], { settings: write('bad.yaml', 'smallestChange: many\n') }), 'SETTINGS_INVALID'],
      [() => run([good], { plant: 'site: {}\n' }), 'PLANT_INVALID'],
    ] as const) {
      const { out, error } = await attempt();
      expect(out).toBe('');
      expect(error).toMatchObject({ code });
      expect((error as Error).message).not.toContain('\n');
    }
  });

  it('prints snapshots in the order of raised, gun, cause and asOf', async () => {
    const told = (gun: string | null, cause: string, raised: number, asOf: number): Finding => ({
      gun,
      cause,
      category: 'maintenance-required',
      onset: new Date(0).toISOString(),
      raised: new Date(raised).toISOString(),
      asOf: new Date(asOf).toISOString(),
      cleared: null,
      candidates: [],
      excessAir: null,
      remaining: null,
      evidence: [],
    });
    const inOrder = [
      told('gun-2', 'powder', 1000, 1000),
      told(null, 'supply-air', 2000, 2000),
      told('gun-1', 'nozzle', 2000, 2000),
      told('gun-1', 'nozzle', 2000, 9000),
      told('gun-1', 'powder', 2000, 3000),
      told('gun-2', 'nozzle', 2000, 2500),
    ];
    const pipeline: SitePipeline<unknown> = {
      ...tallyPipeline,
      init: () => ({}),
      advance: () => [...inOrder].reverse(),
      findings: () => [],
    };
    const { out } = await run([write('one.csv', readingsCsv([...madeUpHall(1).values()]))], {
      snapshots: true,
      pipeline,
    });
    expect(out).toBe(inOrder.map(findingLine).join(''));
    expect([...inOrder].reverse().sort(byRaised)).toEqual(inOrder);
  });

  it('refuses to print a number that JSON cannot hold', () => {
    const finding = { excessAir: Number.NaN } as Finding;
    expect(() => findingLine(finding)).toThrow(/excessAir/);
    expect(() => findingLine({ ...finding, excessAir: null })).not.toThrow();
  });
});
