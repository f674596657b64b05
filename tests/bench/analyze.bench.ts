import { createReadStream, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createGunzip } from 'node:zlib';
import { type History, simulateHistory } from './history.ts';
import { runDriftline, runNode, type Took } from './started.ts';
import { median, type Part, whole } from './table.ts';

const SPLIT = fileURLToPath(new URL('./split-lines-child.ts', import.meta.url));

/** The batch command over gzip CSV, against gunzip and line splitting alone. */
export const analyzePart: Part = {
  name: 'analyze',
  run: async ({ quick, rounds }) => {
    const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    try {
      const history = await simulateHistory(dir, quick);
      const rows = await countRows(history);
      const readings = history.readings.flatMap((path) => ['--readings', path]);
      const [ours, bare]: [Took[], Took[]] = [[], []];
      for (let round = 0; round < rounds; round++) {
        ours.push(await runDriftline(dir, ['analyze', '--plant', history.plant, ...readings, '--log', history.log]));
        bare.push(await runNode(dir, ['--import', 'tsx', SPLIT, ...history.readings]));
      }
      const rate = (took: Took[]): number => rows / median(took.map(({ seconds }) => seconds));
      const cpuRate = (took: Took[]): number => rows / median(took.map(({ cpuSeconds }) => cpuSeconds));
      return [
        {
          what: 'gzip CSV to findings, rows/s',
          measured: whole(rate(ours)),
          byProcessor: whole(cpuRate(ours)),
          aim: '>= 350000',
        },
        { what: 'gunzip and lines alone, rows/s', measured: whole(rate(bare)), byProcessor: whole(cpuRate(bare)) },
        {
          what: 'of gunzip and lines alone',
          measured: (rate(ours) / rate(bare)).toFixed(2),
          byProcessor: (cpuRate(ours) / cpuRate(bare)).toFixed(2),
          aim: '>= 0.2',
        },
        {
          what: `memory for ${rows} rows, MB`,
          measured: whole(Math.max(...ours.map(({ peakMb }) => peakMb))),
          aim: '< 700',
        },
      ];
    } finally {
      rmSync(dir, { recursive: true });
    }
  },
};

async function countRows({ readings }: History): Promise<number> {
  let rows = 0;
  for (const path of readings) {
    for await (const chunk of createReadStream(path).pipe(createGunzip()))
      for (const byte of chunk as Buffer) if (byte === 10) rows++;
    rows--;
  }
  return rows;
}
