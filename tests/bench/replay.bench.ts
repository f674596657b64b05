import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { finish, gridOf, loadHistory, type SiteHistory, study, tradeOff } from '../../analyzer/index.ts';
import { Settings } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/index.ts';
import { simulateHistory } from './history.ts';
import { startHttp } from './started.ts';
import { Stopwatch } from './stopwatch.ts';
import { repeated, simulatedRuns, storeRuns } from './stored-runs.ts';
import { type Figure, median, type Part, whole } from './table.ts';

/** Eight guns over a year, and one gun over two: about 75 000 runs a gun and year. */
const YEAR_RUNS = 600_000;
const TWO_YEARS_OF_ONE = 150_000;

/** Settings tried on stored runs, and the picture of a gun's past. */
export const replayPart: Part = {
  name: 'replay',
  run: async ({ quick, rounds }) => {
    const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    try {
      const hall = await simulatedRuns(await simulateHistory(dir, quick));
      const year = repeated(hall, quick ? hall.runs : YEAR_RUNS);
      const data = join(dir, 'year');
      await storeRuns(data, year);
      const [load, one, curve] = [new Stopwatch(), new Stopwatch(), new Stopwatch()];
      let history: SiteHistory | null = null;
      let findings = 0;
      for (let round = 0; round < rounds; round++) {
        load.time(() => {
          const store = openStore(data);
          history = loadHistory(store, year.plant);
          store.close();
        });
        const { firstTime, upTo } = history!;
        const [settings, span] = [Settings.parse({}), { from: firstTime, to: upTo + 1 }];
        one.time(() => {
          findings = finish(study(history!, settings, span)).findings.length;
        });
        // Takes as long as some tens of the others: one round tells.
        if (round === 0) curve.time(() => finish(tradeOff(history!, settings, span)));
      }
      const gun = hall.tables[0]!;
      const alone = {
        ...hall,
        tables: [gun],
        log: hall.log.filter((entry) => entry.gun === gun.gun),
        runs: gun.length,
      };
      const past = repeated(alone, quick ? gun.length : TWO_YEARS_OF_ONE);
      await storeRuns(join(dir, 'past'), past);
      const settings = `${gridOf(Settings.parse({})).length} settings on the same, s`;
      return [
        { what: `${year.runs} runs of ${year.tables.length} guns loaded, s`, ...load.shown(seconds), aim: '< 1' },
        { what: `one settings set on them, ${findings} findings, s`, ...one.shown(seconds), aim: '< 0.5' },
        { what: settings, ...curve.shown(seconds), aim: '< 5' },
        ...(await openPast(dir, past, rounds)),
      ];
    } finally {
      rmSync(dir, { recursive: true });
    }
  },
};

const seconds = (time: number): string => time.toFixed(2);

/** The history of one gun as its page asks for it, from a service on this machine. */
async function openPast(
  dir: string,
  { tables, runs }: Awaited<ReturnType<typeof simulatedRuns>>,
  rounds: number,
): Promise<Figure[]> {
  const { gun, columns, length } = tables[0]!;
  const plant = join(dir, 'past.yaml');
  writeFileSync(plant, `site: { id: hall-1, timezone: Europe/Vienna }\nguns:\n  - { id: ${gun}, output: measured }\n`);
  const span = [columns.start[0]!, columns.end[length - 1]!].map((time) => new Date(time).toISOString());
  const service = await startHttp(plant, join(dir, 'past'));
  try {
    const taken: number[] = [];
    let points = 0;
    for (let round = 0; round < rounds; round++) {
      const began = performance.now();
      const response = await fetch(`${service.url}/api/guns/${gun}/history?from=${span[0]}&to=${span[1]}`);
      const answer = (await response.json()) as { times: unknown[]; series: { mid: (number | null)[] }[] };
      taken.push(performance.now() - began);
      points = answer.series.reduce((sum, { mid }) => sum + mid.filter((value) => value !== null).length, 0);
    }
    return [
      { what: `two years of one gun, ${runs} runs: first answer, ms`, measured: whole(taken[0]!), aim: '< 300' },
      ...(rounds > 1 ? [{ what: 'the same asked again, ms', measured: whole(median(taken.slice(1))) }] : []),
      { what: 'points sent', measured: whole(points), aim: '<= 4000' },
    ];
  } finally {
    await service.stop();
  }
}
