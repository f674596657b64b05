import type { Finding, RunField, RunTable } from '../../collector/contract/index.ts';
// Not by its folder, which brings every schema: the first picture waits for all that is loaded here.
import { powderAt } from '../../collector/contract/runs.ts';
import type { DamagedKind, Store, StoredLogEntry, TracePoint } from '../../collector/index.ts';
import { TRACE_MS } from '../live/trace-keeper.ts';
import { HISTORY_SERIES, type HistorySeries } from './history-series.ts';
import { knownSpan } from './known-span.ts';
import { type RecipeSpan, recipeSpans } from './recipe-spans.ts';
import { type Band, type Buckets, bucketsOf, type Held, holdIn, thin } from './thin.ts';

/** A look at a gun. Times are epoch ms, from inclusive, to exclusive. */
export interface HistoryQuestion {
  readonly gun: string;
  readonly from: number;
  readonly to: number;
  /** Names of HISTORY_SERIES. */
  readonly series: readonly string[];
  /** Most points of one series. */
  readonly points: number;
}

/** One series on the common times; null where nothing was measured. */
export interface SeriesAnswer {
  readonly name: string;
  readonly unit: HistorySeries['unit'];
  readonly low: readonly (number | null)[];
  readonly mid: readonly (number | null)[];
  readonly high: readonly (number | null)[];
}

export interface HistoryAnswer {
  readonly gun: string;
  readonly from: number;
  readonly to: number;
  /** What one point is: a raw reading, a minute or a stretch of runs, with lowest and highest beside the mean. */
  readonly level: 'readings' | 'runs';
  readonly widthMs: number;
  /** Middle of each stretch, ascending. */
  readonly times: readonly number[];
  readonly series: readonly SeriesAnswer[];
  readonly findings: readonly Finding[];
  readonly log: readonly StoredLogEntry[];
  readonly powders: readonly { readonly powder: string; readonly from: number; readonly to: number }[];
  /** Stretches at one output, g/min. */
  readonly recipes: readonly RecipeSpan[];
  /** Baselines of the gun that are learnt anew from a time within the span and hold. */
  readonly relearnings: readonly { readonly from: number; readonly who: string; readonly reason: string }[];
  /** Versions that held at some time of the span, ascending. */
  readonly settings: readonly {
    readonly version: number;
    readonly adopted: number;
    readonly who: string;
    readonly why: string;
  }[];
  readonly excluded: readonly {
    readonly id: number;
    readonly from: number;
    readonly to: number;
    readonly reason: string;
  }[];
  /** Where a span without a spray run lies between: the last run before it and the first one after it; null where there is none near. */
  readonly nearest: { readonly before: RunSpan | null; readonly after: RunSpan | null } | null;
  /** What of the span is damaged on the disk and missing here, both ends included. */
  readonly damaged: readonly {
    readonly kind: DamagedKind;
    readonly from: number;
    readonly to: number;
    readonly why: string;
  }[];
  /** From the first to the newest reading or spray run that is kept of the gun; null where there is neither. */
  readonly known: { readonly from: number; readonly to: number } | null;
}

/** One spray run, epoch ms. */
export interface RunSpan {
  readonly from: number;
  readonly to: number;
}

/** How far from a span without any runs are looked for, ms. Source: own choice, a long shut-down. */
const NEAR_MS = 30 * 86_400_000;

/** Up to this span raw readings are shown: one trigger pull fills the picture then. Source: own choice, a quarter of an hour at 2 s is 450 readings. */
const READINGS_MS = 15 * 60_000;

/** The analysis speaks once an hour of spraying; what it said holds in narrower stretches for so long, ms. Source: own choice, half a shift. */
const HELD_MS = 4 * 3_600_000;

/** Fields of runs from which powders and recipes are told. */
const ALWAYS: readonly RunField[] = ['start', 'end', 'powder', 'output'];

/** Everything that a gun's picture of a span needs, with at most `points` points a series. */
export function gunHistory(store: Store, question: HistoryQuestion): HistoryAnswer {
  const { gun, from, to } = question;
  const wanted = HISTORY_SERIES.filter(({ name }) => question.series.includes(name));
  const shown = wanted.flatMap(({ field }) => (field === null ? [] : [field]));
  const runs = store.runs.load(gun, from, to, [...new Set([...ALWAYS, ...shown])]);
  const raw = to - from <= READINGS_MS ? rawReadings(store, question) : null;
  const widthMs = Math.max(1, Math.ceil((to - from) / question.points));
  const buckets: Buckets = { from, widthMs, count: Math.max(1, Math.ceil((to - from) / widthMs)) };
  const trace = wanted.some((one) => one.trace !== null) ? store.traces.list(gun, from - HELD_MS, to + HELD_MS) : [];
  const looked: Looked = {
    ...{ runs, trace, raw, count: buckets.count },
    runPlaces: bucketsOf(runs.columns.start, buckets),
    tracePlaces: bucketsOf(
      trace.map(({ time }) => time),
      buckets,
    ),
    rawPlaces: raw === null ? NO_PLACES : bucketsOf(raw.times, buckets),
  };
  const bands = wanted.map((one) => bandOf(one, looked));
  const filled = Array.from({ length: buckets.count }, (_, bucket) => bucket).filter((bucket) =>
    bands.some(({ mid }) => !Number.isNaN(mid[bucket]!)),
  );
  if (widthMs < TRACE_MS)
    for (const [index, one] of wanted.entries())
      if (one.trace !== null) holdIn(bands[index]!, filled, traceColumns(one.trace, trace), buckets, HELD_MS);
  const pick = (column: Float64Array): (number | null)[] =>
    filled.map((bucket) => (Number.isNaN(column[bucket]!) ? null : column[bucket]!));
  return {
    ...{ gun, from, to, widthMs, level: raw === null ? 'runs' : 'readings' },
    times: filled.map((bucket) => Math.round(from + (bucket + 0.5) * widthMs)),
    series: wanted.map(({ name, unit }, index) => {
      const { low, mid, high } = bands[index]!;
      return { name, unit, low: pick(low), mid: pick(mid), high: pick(high) };
    }),
    findings: findingsWithin(store, gun, from, to),
    log: store.log.list({ gun, from, to }),
    powders: powderSpans(runs),
    recipes: recipeSpans(runs, widthMs),
    relearnings: store.baselines
      .relearnings()
      .filter((one) => one.gun === gun && one.undoneAt === null && one.from >= from && one.from < to)
      .map(({ from: begin, who, reason }) => ({ from: begin, who, reason })),
    settings: versionsWithin(store, from, to),
    excluded: store.truths
      .exclusions()
      .filter((one) => one.gun === gun && one.from < to && one.to > from)
      .map(({ id, from: begin, to: end, reason }) => ({ id, from: begin, to: end, reason })),
    nearest: runs.length > 0 ? null : nearestRuns(store, question),
    damaged: [...store.readings.damaged(gun, from, to), ...store.runs.damaged(gun, from, to)].map((span) => ({
      ...{ kind: span.kind, from: span.from, to: span.to, why: `${span.what}: ${span.fault}` },
    })),
    known: knownSpan(store, gun),
  };
}

/** What lies in a span, and the bucket of each run, word of the analysis and reading. */
interface Looked {
  readonly runs: RunTable;
  readonly trace: readonly TracePoint[];
  readonly raw: RawReadings | null;
  readonly runPlaces: Int32Array;
  readonly tracePlaces: Int32Array;
  readonly rawPlaces: Int32Array;
  /** Buckets of the span. */
  readonly count: number;
}

const NO_PLACES = new Int32Array(0);

function bandOf({ field, trace, channel }: HistorySeries, looked: Looked): Band {
  const { runs, raw, count, runPlaces, tracePlaces, rawPlaces } = looked;
  if (trace !== null) {
    const { low, mid, high } = traceColumns(trace, looked.trace);
    return {
      low: thin(tracePlaces, low, count).mid,
      mid: thin(tracePlaces, mid, count).mid,
      high: thin(tracePlaces, high, count).mid,
    };
  }
  if (raw !== null && channel !== null && raw.columns[channel] !== undefined)
    return thin(rawPlaces, raw.columns[channel], count);
  return field === null ? thin(NO_PLACES, [], count) : thin(runPlaces, runs.columns[field], count);
}

/** What the analysis said, as columns; NaN where it said nothing. */
function traceColumns(
  { mid, low = mid, high = mid }: NonNullable<HistorySeries['trace']>,
  points: readonly TracePoint[],
): Held {
  const column = (key: keyof TracePoint): number[] =>
    points.map((point) => (point[key] as number | null) ?? Number.NaN);
  return { times: points.map(({ time }) => time), low: column(low), mid: column(mid), high: column(high) };
}

interface RawReadings {
  readonly times: Float64Array;
  readonly columns: Readonly<Partial<Record<string, Float64Array>>>;
}

/** Raw readings of a span; null where they are no longer kept. */
function rawReadings(store: Store, { gun, from, to }: HistoryQuestion): RawReadings | null {
  const frames = store.readings.frames(gun, from, to);
  return frames.times.length === 0 ? null : { times: frames.times, columns: frames.columns };
}

/** Stretches with one powder, from its first to its last run. */
function powderSpans(table: RunTable): HistoryAnswer['powders'] {
  const { columns, length } = table;
  const spans: { powder: string; from: number; to: number }[] = [];
  for (let row = 0; row < length; row++) {
    const powder = powderAt(table, row);
    if (powder === '') continue;
    const last = spans.at(-1);
    if (last?.powder === powder) last.to = columns.end[row]!;
    else spans.push({ powder, from: columns.start[row]!, to: columns.end[row]! });
  }
  return spans;
}

function findingsWithin(store: Store, gun: string, from: number, to: number): Finding[] {
  return store.findings
    .list({ before: to })
    .map(({ finding }) => finding)
    .filter((finding) => finding.gun === gun || finding.guns?.includes(gun))
    .filter(({ cleared }) => cleared === null || Date.parse(cleared) >= from);
}

/** Versions of the settings that held at some time of the span, the one that held at its begin included. */
function versionsWithin(store: Store, from: number, to: number): HistoryAnswer['settings'] {
  const all = store.settings.list();
  return all
    .filter(({ adopted }, index) => adopted < to && (all[index + 1]?.adopted ?? Number.POSITIVE_INFINITY) > from)
    .map(({ version, adopted, who, why }) => ({ version, adopted, who, why }));
}

function nearestRuns(store: Store, { gun, from, to }: HistoryQuestion): HistoryAnswer['nearest'] {
  const runOf = ({ columns }: RunTable, row: number): RunSpan => ({ from: columns.start[row]!, to: columns.end[row]! });
  const before = store.runs.load(gun, from - NEAR_MS, from);
  const after = store.runs.load(gun, to, to + NEAR_MS);
  return {
    before: before.length === 0 ? null : runOf(before, before.length - 1),
    after: after.length === 0 ? null : runOf(after, 0),
  };
}
