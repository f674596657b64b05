import { basisOf, keepBasis } from '../../analyzer/live/basis.ts';
import { Checkpoints } from '../../analyzer/live/checkpoints.ts';
import type { KeptCut } from '../../analyzer/live/kept-cuts.ts';
import { sitePipeline } from '../../analyzer/pipeline.ts';
import { cutRuns, passTime } from '../../analyzer/runs/cut-runs.ts';
import { startCut } from '../../analyzer/runs/cut-state.ts';
import { GrowingRuns } from '../../analyzer/runs/growing-runs.ts';
import { cutContexts } from '../../analyzer/runs/track.ts';
import { type LogEntry, type Plant, RUN_FIELDS, type RunTable, Settings } from '../../collector/contract/index.ts';
import { openStore, readLog, readPlant, readReadings, startWriter } from '../../collector/index.ts';
import type { History } from './history.ts';

const WEEK_MS = 7 * 86_400_000;
const HOUR_MS = 3_600_000;
const TIMES = new Set(['start', 'end']);

/** Spray runs and log of a hall over a long time. */
export interface RunHistory {
  readonly plant: Plant;
  readonly tables: readonly RunTable[];
  readonly log: readonly LogEntry[];
  readonly runs: number;
}

/** Runs of a simulated hall, cut from its files. */
export async function simulatedRuns(history: History): Promise<RunHistory> {
  const plant = await readPlant(history.plant);
  const { entries } = await readLog(history.log, plant);
  const readings = await readReadings(history.readings, plant);
  const tables: RunTable[] = [];
  for (const context of cutContexts(plant).values()) {
    if (!context.isGun || !readings.stations.includes(context.station)) continue;
    const [state, runs] = [startCut(), new GrowingRuns(context.station)];
    for (const block of readings.blocks(context.station)) cutRuns(context, state, block, runs);
    passTime(context, state, state.lastTime + WEEK_MS, runs);
    tables.push(runs.table());
  }
  return { plant, tables, log: entries, runs: tables.reduce((sum, { length }) => sum + length, 0) };
}

/**
 * The same runs again and again, whole weeks later each time, until there are `runs`: simulating a year takes many minutes, and
 * stage two cannot tell. Each time all guns begin with new inserts, and the log says so.
 */
export function repeated({ plant, tables, log, runs: once }: RunHistory, runs: number): RunHistory {
  const starts = tables.map(({ columns }) => columns.start[0]!);
  const first = Math.min(...starts);
  const last = Math.max(...tables.map(({ columns, length }) => columns.end[length - 1]!));
  const every = Math.ceil((last - first + HOUR_MS) / WEEK_MS) * WEEK_MS;
  const times = Math.ceil(runs / once);
  const renewed = (gun: string, time: number): LogEntry => ({
    ...{ time, gun, part: 'pump-insert', action: 'replaced', found: 'worn', note: '' },
  });
  const long: LogEntry[] = [];
  for (let turn = 0; turn < times; turn++) {
    if (turn > 0)
      for (const [gun, table] of tables.entries()) long.push(renewed(table.gun, starts[gun]! + turn * every - HOUR_MS));
    for (const entry of log) long.push({ ...entry, time: entry.time + turn * every });
  }
  const tiled = tables.map((table) => tile(table, times, every));
  return { plant, tables: tiled, log: long, runs: times * once };
}

function tile(table: RunTable, times: number, everyMs: number): RunTable {
  const length = table.length * times;
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => {
      const column = new Float64Array(length);
      for (let turn = 0; turn < times; turn++) {
        const shift = TIMES.has(field) ? turn * everyMs : 0;
        const from = turn * table.length;
        for (let row = 0; row < table.length; row++) column[from + row] = table.columns[field][row]! + shift;
      }
      return [field, column];
    }),
  ) as RunTable['columns'];
  return { ...table, length, columns };
}

/**
 * Puts runs and log into a new data folder, as they stand there once their readings have been looked at and thinned away: a service that
 * starts on it with the same plant goes on from them.
 */
export async function storeRuns(dir: string, { plant, tables, log }: RunHistory): Promise<void> {
  // Makes the folder with all its tables.
  await (await startWriter(dir)).stop();
  const store = openStore(dir);
  const add = { adopted: 0, recordedAt: 0, who: 'bench', why: 'begins' };
  if (store.settings.list().length === 0) store.settings.add(Settings.parse({}), add);
  store.transaction(() => {
    // Without it a service takes the states for another program's, and cuts anew from readings that are not there.
    keepBasis(store.states, { ...basisOf(sitePipeline.stateVersion, plant), seen: { logId: 0, version: 0 } });
    for (const entry of log) store.log.add(entry, { recordedAt: entry.time, source: 'bench' });
    for (const table of tables) {
      const { start, end } = table.columns;
      const lastTime = end[table.length - 1]!;
      store.runs.replace(table.gun, 0, table);
      const cut = { ...startCut(), firstTime: start[0]!, lastTime, frames: 1 };
      const checkpoints = new Checkpoints<KeptCut>(`live/${table.gun}/cut/`, () => 0);
      const { length: runs, powders } = table;
      const kept = { cut: { ...cut, runs, powders: powders.length }, powders, lastRun: start[table.length - 1]! };
      checkpoints.add(lastTime, kept, lastTime);
      checkpoints.flush(store.states, lastTime + 2 * HOUR_MS);
      store.traces.put(hoursOf(table).map((time) => tracePoint(table.gun, time)));
    }
  });
  store.close();
}

/** Ends of the hours in which a gun sprayed. */
function hoursOf({ columns, length }: RunTable): number[] {
  const hours = new Set<number>();
  for (let row = 0; row < length; row++) hours.add(Math.ceil(columns.end[row]! / HOUR_MS) * HOUR_MS);
  return [...hours];
}

/** A point of the excess air's course with likely figures: only how many there are matters here. */
function tracePoint(gun: string, time: number): Parameters<ReturnType<typeof openStore>['traces']['put']>[0][number] {
  const excess = ((time / HOUR_MS) % 100) / 500;
  const air = { needed: 2.6, actual: 2.6 * (1 + excess), excess, low: excess - 0.02, high: excess + 0.02 };
  return { gun, time, ...air, changeLimit: 0.2, wearLeft: 1 - excess / 0.2 };
}
