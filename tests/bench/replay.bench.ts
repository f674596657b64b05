import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type * as Analyzer from '../../analyzer/index.ts';
import type { SiteHistory, Span } from '../../analyzer/index.ts';
import { Settings } from '../../collector/contract/index.ts';
import type * as Collector from '../../collector/index.ts';
import { openStore, readPlant } from '../../collector/index.ts';
import { firstPictures } from './first-picture.ts';
import { simulateHistory } from './history.ts';
import { built, startHttp } from './started.ts';
import { Stopwatch } from './stopwatch.ts';
import { type RunHistory, repeated, simulatedRuns, storeRuns } from './stored-runs.ts';
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
      const figures = await replayYear(data, year, rounds);
      const gun = hall.tables[0]!;
      const alone = {
        ...hall,
        tables: [gun],
        log: hall.log.filter((entry) => entry.gun === gun.gun),
        runs: gun.length,
      };
      const past = repeated(alone, quick ? gun.length : TWO_YEARS_OF_ONE);
      return [...figures, ...(await openPast(dir, past, rounds))];
    } finally {
      rmSync(dir, { recursive: true });
    }
  },
};

/** Replays on the built program, as it is shipped: what runs the bench from source slows functions that are made at every look. */
async function replayYear(data: string, { plant, tables, runs }: RunHistory, rounds: number): Promise<Figure[]> {
  const { finish, gridOf, historySteps, study, tradeOff } = await built<typeof Analyzer>('analyzer/index.js');
  const { openStore } = await built<typeof Collector>('collector/index.js');
  const [load, one] = [new Stopwatch(), new Stopwatch()];
  const settings = Settings.parse({});
  let history: SiteHistory | null = null;
  let [findings, waitedMs] = [0, 0];
  for (let round = 0; round < rounds; round++) {
    load.time(() => {
      const store = openStore(data);
      for (let [steps, last] = [historySteps(store, plant), performance.now()]; ; ) {
        const step = steps.next();
        waitedMs = Math.max(waitedMs, performance.now() - last);
        last = performance.now();
        if (!step.done) continue;
        history = step.value;
        break;
      }
      store.close();
    });
    one.time(() => {
      findings = finish(study(history!, settings, wholeOf(history!))).findings.length;
    });
  }
  const curve = workThrough(tradeOff(history!, settings, wholeOf(history!)));
  const restedMs = cancelled(tradeOff(history!, settings, wholeOf(history!)));
  // The desk's threads hold it anew.
  history = null;
  const desk = await askDesk(data, plant);
  return [
    { what: `${runs} runs of ${tables.length} guns loaded, s`, ...load.shown(seconds), aim: '< 1' },
    { what: 'longest wait for progress, or for a cancel, meanwhile, ms', measured: whole(waitedMs) },
    { what: `one settings set on them, ${findings} findings, s`, ...one.shown(seconds), aim: '< 0.5' },
    {
      what: `${gridOf(settings).length} settings on the same, on one thread, s`,
      ...curve.watch.shown(seconds),
      aim: '< 5',
    },
    { what: 'their first point after, s', measured: seconds(curve.firstPointS) },
    {
      what: `reports of progress, ${curve.reports}: longest wait for one, or for a cancel, ms`,
      measured: whole(curve.longestMs),
    },
    {
      what: 'cancelled half way, ms until it rests',
      measured: whole(restedMs),
    },
    {
      what: 'the same as the desk asks for it, its history loaded: on two threads, s',
      measured: seconds(desk.curveS),
      aim: '< 5',
    },
    { what: 'and the comparison before it, loading included, s', measured: seconds(desk.compareS) },
  ];
}

/** A comparison and then the curve, as a service's page asks for them. By the clock alone: they run elsewhere. */
async function askDesk(dir: string, plant: RunHistory['plant']): Promise<{ compareS: number; curveS: number }> {
  const { startStudies, versionsHere } = await built<typeof Analyzer>('analyzer/index.js');
  const studies = startStudies({ dir, plant, versions: versionsHere() });
  const settings = Settings.parse({});
  const ask = async (kind: 'compare' | 'curve'): Promise<number> => {
    const began = performance.now();
    await studies.ask({ kind, present: settings, proposed: settings, from: null, to: null, targetPerGunYear: null })
      .answer;
    return (performance.now() - began) / 1e3;
  };
  try {
    return { compareS: await ask('compare'), curveS: await ask('curve') };
  } finally {
    await studies.stop();
  }
}

const wholeOf = ({ firstTime, upTo }: SiteHistory): Span => ({ from: firstTime, to: upTo + 1 });

type Steps = ReturnType<typeof Analyzer.tradeOff>;

/** Works to the end, and looks at what is told on the way. Takes as long as some of the others: one round tells. */
function workThrough(steps: Steps): { watch: Stopwatch; firstPointS: number; longestMs: number; reports: number } {
  const watch = new Stopwatch();
  const began = performance.now();
  let [last, longestMs, reports, firstPointS] = [began, 0, 0, Number.NaN];
  watch.time(() => {
    for (;;) {
      const step = steps.next();
      const now = performance.now();
      longestMs = Math.max(longestMs, now - last);
      last = now;
      if (step.done) return;
      reports++;
      if (Number.isNaN(firstPointS) && step.value.studies.some((one) => one !== null))
        firstPointS = (now - began) / 1e3;
    }
  });
  return { watch, firstPointS, longestMs, reports };
}

/** Leaves the work at its middle: ms until nothing of it runs any more. */
function cancelled(steps: Steps): number {
  for (let step = steps.next(); !step.done && step.value.share < 0.5; ) step = steps.next();
  const began = performance.now();
  steps.return([]);
  if (steps.next().done !== true) throw new Error('found more to do after a cancel, expected none');
  return performance.now() - began;
}

const seconds = (time: number): string => time.toFixed(2);

/** The history of one gun as its page asks for it, from a service on this machine that has analysed what it was started on. */
async function openPast(dir: string, past: RunHistory, rounds: number): Promise<Figure[]> {
  const { tables, runs } = past;
  const { gun, columns, length } = tables[0]!;
  const plant = join(dir, 'past.yaml');
  writeFileSync(plant, `site: { id: hall-1, timezone: Europe/Vienna }\nguns:\n  - { id: ${gun}, output: measured }\n`);
  const span = [columns.start[0]!, columns.end[length - 1]!].map((time) => new Date(time).toISOString());
  await storeRuns(join(dir, 'past'), { ...past, plant: await readPlant(plant) });
  const service = await startHttp(plant, join(dir, 'past'));
  try {
    await service.rests();
    const taken: number[] = [];
    let points = 0;
    for (let round = 0; round < rounds; round++) {
      const began = performance.now();
      const response = await fetch(`${service.url}/api/guns/${gun}/history?from=${span[0]}&to=${span[1]}`);
      const answer = (await response.json()) as { times: unknown[]; series: { mid: (number | null)[] }[] };
      taken.push(performance.now() - began);
      points = answer.series.reduce((sum, { mid }) => sum + mid.filter((value) => value !== null).length, 0);
    }
    const pictures = await firstPictures(
      `${service.url}/history?gun=${gun}&from=${span[0]}&to=${span[1]}`,
      Math.max(3, rounds),
    );
    return [
      { what: `two years of one gun, ${runs} runs: first answer, ms`, measured: whole(taken[0]!), aim: '< 300' },
      {
        what: 'its first picture, in a browser that opens the page anew, ms',
        measured: whole(median(pictures)),
        aim: '< 300',
      },
      ...(rounds > 1 ? [{ what: 'the same asked again, ms', measured: whole(median(taken.slice(1))) }] : []),
      { what: 'points sent', measured: whole(points), aim: '<= 4000' },
    ];
  } finally {
    await service.stop();
    keptAll(join(dir, 'past'), gun, length);
  }
}

/** @throws {Error} when a service has not left the runs that it was started on: then its answers were of something else */
function keptAll(dir: string, gun: string, length: number): void {
  const store = openStore(dir);
  const { length: left } = store.runs.load(gun, 0, Number.MAX_SAFE_INTEGER, ['start']);
  store.close();
  if (left !== length) throw new Error(`${gun}: ${left} runs after the service, expected the ${length} from before`);
}
