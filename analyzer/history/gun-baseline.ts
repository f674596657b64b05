import { type Plant, RUN_FIELDS, type RunField, type RunTable, settingsFor } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { varianceOf } from '../baseline/gaussian-state.ts';
import { type Borrowed, borrowedOf, type Need, needOf } from '../baseline/need-curve.ts';
import { usualOutput } from '../baseline/usual-output.ts';
import { learntWorn, type WornDoubt } from '../diagnose/learnt-worn.ts';
import { wholeRuns } from '../live/kept-runs.ts';
import { type StoredBelief, storedBelief } from '../live/stored-belief.ts';
import { benchOf } from '../pipeline-tick.ts';
import { leftOutPoints, type TaughtPoint, taughtPoints, thinned } from './taught-points.ts';

/** A new insert's need at one output. Air m3/h, output g/min. */
export interface NeedAt extends Need {
  readonly output: number;
}

/** One powder on one gun: its curve, and where it stands beside the powder in use. */
export interface PowderBaseline {
  /** '' where the powder is not read. */
  readonly powder: string;
  readonly inUse: boolean;
  /** Runs with it since the baseline began, and how many it takes until it is known. */
  readonly runs: number;
  readonly runsNeeded: number;
  /** Median output of the last spray hours with it, and what a new insert needs for it. */
  readonly usual: NeedAt;
  /** What a new insert needs with it at the gun's usual output, and that over the need with the powder in use, less 1. */
  readonly atGunsUsual: NeedAt;
  readonly beside: number;
  readonly curve: readonly NeedAt[];
}

export interface BaselineAnswer {
  readonly gun: string;
  /** Reading time up to which this holds, epoch ms; null before the first reading. */
  readonly asOf: number | null;
  /** When the baseline began: the first run, or the time from which it is learnt anew; null before any. */
  readonly from: number | null;
  readonly learntAnew: boolean;
  /** Why there is no curve; null where there is one. */
  readonly lacking: 'no-runs' | 'no-output' | 'learning' | null;
  readonly powders: readonly PowderBaseline[];
  /** A new insert of this gun over one of the site's mean gun at the usual output, less 1; null where nothing is known. */
  readonly besideSite: { readonly share: number; readonly low: number; readonly high: number } | null;
  readonly borrowed: Borrowed | null;
  /** Since when the insert is in, epoch ms; null where that is not known and a new one's need is borrowed. */
  readonly insertSince: number | null;
  readonly points: readonly TaughtPoint[];
  /** All points by kind: those that are not sent too. */
  readonly counted: { readonly taught: number; readonly later: number; readonly leftOut: number };
  readonly doubt: WornDoubt | null;
}

/** Most points that are sent: of those that taught, that came later, that were left out. Source: own choice, more cannot be told apart. */
const MOST = { taught: 400, later: 300, leftOut: 150 };
/** Outputs at which a curve is told. */
const STEPS = 41;

/**
 * The baseline of one gun as the analysis believes it, with what taught it.
 *
 * @param belief what is believed of the site; by default worked out of the store
 */
export function gunBaseline(
  store: Store,
  plant: Plant,
  gun: string,
  belief: StoredBelief = storedBelief(store, plant),
): BaselineAnswer {
  const { context, state, tracks, log } = belief;
  const bench = benchOf(context, state, gun, state.time, []);
  const { memory, pool } = bench;
  const track = tracks.get(gun);
  const runs = track === undefined ? null : wholeRuns(track);
  const anew = memory.commissioned?.time ?? null;
  const settings = context.settings.at(-1)!.settings;
  const needed = (powder: string): number => settingsFor(settings, { gun, powder, part: 'pump-insert' }).learningRuns;
  const points: TaughtPoint[] = [];
  if (runs !== null) {
    const begin = anew === null ? 0 : firstFrom(runs, anew);
    const { source } = memory;
    const measured = bench.gun.output === 'measured';
    points.push(...taughtPoints({ table: rowsOf(runs, begin, runs.length), log, source, measured }, needed));
    if (begin > 0)
      points.push(
        ...leftOutPoints(
          { table: rowsOf(runs, 0, begin), log, source, measured },
          'before the baseline was learnt anew',
        ),
      );
    for (const { from, to, reason } of store.truths.exclusions().filter((one) => one.gun === gun))
      points.push(...leftOutPoints({ table: store.runs.load(gun, from, to), log, source, measured }, reason));
  }
  const of = (kind: TaughtPoint['kind']): TaughtPoint[] => points.filter((point) => point.kind === kind);
  const [taught, later, leftOut] = [of('taught'), of('later'), of('left-out')];
  const powders = memory.source === 'coupled' ? [] : powdersOf(bench, points, needed);
  const hasOutput = points.length > 0;
  return {
    gun,
    asOf: memory.lastEnd > 0 ? memory.lastEnd : null,
    from: anew ?? (runs !== null && runs.length > 0 ? runs.columns.start[0]! : null),
    learntAnew: anew !== null,
    lacking:
      powders.length > 0
        ? null
        : memory.lastEnd === 0
          ? 'no-runs'
          : hasOutput && memory.source !== 'coupled'
            ? 'learning'
            : 'no-output',
    powders,
    besideSite: besideSite(bench, powders),
    borrowed: borrowedOf(pool, gun),
    insertSince: memory.insert.since,
    points: [...thinned(taught, MOST.taught), ...thinned(later, MOST.later), ...thinned(leftOut, MOST.leftOut)],
    counted: { taught: taught.length, later: later.length, leftOut: leftOut.length },
    doubt: learntWorn(bench),
  };
}

type Bench = ReturnType<typeof benchOf>;

function powdersOf(
  { memory, pool }: Bench,
  points: readonly TaughtPoint[],
  needed: (powder: string) => number,
): PowderBaseline[] {
  const outputs = new Map<string, number>();
  for (const [powder, sprayed] of Object.entries(memory.usual)) {
    const output = usualOutput(sprayed);
    if (output !== null) outputs.set(powder, output);
  }
  const usual = usualOutput(memory.usualOutput);
  if (usual === null) return [];
  const reference = needOf(pool, memory.id, memory.powder, usual);
  const seen = points.filter(({ kind }) => kind !== 'left-out').map(({ output }) => Math.log(output));
  const [least, most] = [Math.min(usual, ...seen) - 0.05, Math.max(usual, ...seen) + 0.05];
  return [...outputs].flatMap(([powder, output]) => {
    const at = (log: number): NeedAt | null => {
      const need = needOf(pool, memory.id, powder, log);
      return need === null ? null : { output: Math.exp(log), ...need };
    };
    const [own, here] = [at(output), at(usual)];
    if (own === null || here === null) return [];
    const curve = Array.from({ length: STEPS }, (_, step) => at(least + ((most - least) * step) / (STEPS - 1)));
    return [
      {
        ...{
          powder,
          inUse: powder === memory.powder,
          runs: memory.powderRuns[powder] ?? 0,
          runsNeeded: needed(powder),
        },
        ...{ usual: own, atGunsUsual: here, beside: reference === null ? 0 : here.air / reference.air - 1 },
        curve: curve.filter((one) => one !== null),
      },
    ];
  });
}

/** How a new insert here compares with the mean of the site's guns: the gun's own level and slope alone make the difference. */
function besideSite({ memory, pool }: Bench, powders: readonly PowderBaseline[]): BaselineAnswer['besideSite'] {
  const gun = pool.guns[memory.id];
  const inUse = powders.find((one) => one.inUse) ?? powders[0];
  if (gun === undefined || inUse === undefined || Object.keys(pool.guns).length < 2) return null;
  const { mean } = pool.gaussian;
  const { air, output } = inUse.atGunsUsual;
  const slope =
    Math.log(inUse.curve.at(-1)!.output / inUse.curve[0]!.output) /
    Math.log(inUse.curve.at(-1)!.air / inUse.curve[0]!.air);
  const along = Number.isFinite(slope) && slope > 0.6 ? slope : 0.6;
  if (!(air > 0) || !(output > 0)) return null;
  const sd = Math.sqrt(varianceOf(pool.gaussian, gun.level));
  const at = (z: number): number => Math.expm1(-(mean[gun.level]! + z * sd) / along);
  return { share: at(0), low: at(1.2816), high: at(-1.2816) };
}

/** First row that starts at `time` or later. */
function firstFrom({ columns, length }: RunTable, time: number): number {
  let row = 0;
  while (row < length && columns.start[row]! < time) row++;
  return row;
}

/** Rows [from, to) of a table; columns are views of the same memory. */
function rowsOf(table: RunTable, from: number, to: number): RunTable {
  if (from === 0 && to === table.length) return table;
  const columns = {} as Record<RunField, Float64Array>;
  for (const field of RUN_FIELDS) columns[field] = table.columns[field].subarray(from, to);
  return { ...table, length: to - from, columns };
}
