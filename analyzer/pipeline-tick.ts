import type { Finding, Settings, Tunables } from '../collector/contract/index.ts';
import { bringIn } from './baseline/belief-room.ts';
import type { Block } from './baseline/block.ts';
import { noteSilence } from './baseline/first-sight.ts';
import type { GunMemory } from './baseline/gun-memory.ts';
import { learnSignals } from './baseline/learn-signals.ts';
import { applyLog } from './diagnose/apply-log.ts';
import type { FindingBook } from './diagnose/finding-book.ts';
import { isWet, judgeDewPoint } from './diagnose/judge-dew-point.ts';
import { judgeGun } from './diagnose/judge-gun.ts';
import { judgeFacts } from './diagnose/judge-site.ts';
import { followSupply, judgeSupply } from './diagnose/judge-supply.ts';
import { wearLearning } from './diagnose/judge-wear.ts';
import { learnAnew } from './diagnose/learn-anew.ts';
import { noticeSteps } from './diagnose/notice-step.ts';
import { followLow, judgeSharedLines, SIDE_LINES } from './diagnose/shared-line.ts';
import type { Bench } from './diagnose/site-view.ts';
import { supplyTroubled } from './diagnose/supply-trouble.ts';
import { distrusted, type HoldingFacts, silentSince } from './pipeline-facts.ts';
import type { Tick, TickEntry } from './pipeline-runs.ts';
import type { PipelineState } from './pipeline-state.ts';
import { commonTunables } from './pipeline-together.ts';
import { tunablesFor } from './pipeline-tunables.ts';
import { atmosphereBar } from './runs/atmosphere.ts';
import type { SiteContext } from './site.ts';

/** The settings as adopted at a time. */
function settingsAt({ settings }: SiteContext, time: number): Settings {
  let version = settings[0]!;
  for (const next of settings) if (next.adopted <= time) version = next;
  return version.settings;
}

/** How one gun looks at a time, for judges and views. Nobody may keep it for another time: the next look may be the same object. */
export function benchOf(
  context: SiteContext,
  state: PipelineState,
  gunId: string,
  now: number,
  told: Finding[] | null,
): Bench {
  const memory = state.guns[gunId]!;
  const pool = state.pools[state.poolOf[gunId]!]!;
  const settings = settingsAt(context, now);
  const before = benches.get(memory);
  if (
    before !== undefined &&
    before.context === context &&
    before.settings === settings &&
    before.powder === memory.powder &&
    before.books === state.apart &&
    before.bench.pool === pool &&
    before.bench.guns === state.guns &&
    before.bench.book === state.book &&
    before.bench.told === told
  ) {
    if (before.bench.now !== now) turnTo(before, now);
    return before.bench;
  }
  const bench = newBench(context, state, memory, settings, now, told);
  benches.set(memory, { bench, context, settings, powder: memory.powder, books: state.apart });
  return bench;
}

type Turning = { -readonly [Name in keyof Bench]: Bench[Name] };

interface KeptBench {
  readonly bench: Turning;
  readonly context: SiteContext;
  readonly settings: Settings;
  readonly powder: string;
  readonly books: readonly FindingBook[] | undefined;
}

/** How each gun looked last: all but the time is the same at the next look, with many settings a dozen objects. */
const benches = new WeakMap<GunMemory, KeptBench>();

function turnTo({ bench }: KeptBench, now: number): void {
  bench.now = now;
  for (const own of (bench.apart ?? []) as readonly Turning[]) own.now = now;
}

function newBench(
  context: SiteContext,
  state: PipelineState,
  memory: GunMemory,
  settings: Settings,
  now: number,
  told: Finding[] | null,
): Bench {
  const gunId = memory.id;
  const { powder } = memory;
  const { together } = context;
  const tunablesOf = (part: string): Tunables =>
    together === undefined ? tunablesFor(settings, gunId, powder, part) : commonTunables(together, gunId, powder, part);
  const bench: Bench = {
    plant: context.plant,
    gun: context.plant.guns.find(({ id }) => id === gunId)!,
    memory,
    pool: state.pools[state.poolOf[gunId]!]!,
    guns: state.guns,
    book: state.book,
    tunables: tunablesOf('pump-insert'),
    tunablesOf,
    now,
    dismissals: context.words?.dismissals ?? [],
    told,
  };
  return together === undefined ? bench : { ...bench, apart: apartFrom(bench, together, state.apart!) };
}

function apartFrom(bench: Bench, together: readonly Settings[], books: readonly FindingBook[]): Bench[] {
  const { id, powder } = bench.memory;
  return together.map((settings, place) => {
    const tunablesOf = (part: string): Tunables => tunablesFor(settings, id, powder, part);
    return { ...bench, book: books[place]!, tunables: tunablesOf('pump-insert'), tunablesOf };
  });
}

function takeEntry(bench: Bench, entry: TickEntry): void {
  if (entry.action === 'learn-anew') learnAnew(bench, entry.time);
  else applyLog(bench, entry);
}

/** Takes one tick in: runs and log entries in order of time, then the judges of every gun that has news. */
export function takeTick(
  context: SiteContext,
  state: PipelineState,
  facts: ReadonlyMap<string, HoldingFacts>,
  tick: Tick,
  told: Finding[] | null,
): void {
  const touched = new Set<string>();
  let moved = false;
  tick.play(state.guns, {
    blocks(blocks) {
      moved = takeBlocks(context, state, blocks, tick.now, told, touched);
    },
    entry(entry) {
      takeEntry(benchOf(context, state, entry.gun, tick.now, told), entry);
    },
  });
  // What guns share is seen by those, too, that were looked at before it was.
  if (moved || tick.log.length > 0) judgeGuns(context, state, tick.now, told, touched);
  judgeSite(context, state, facts, tick, told);
  state.time = tick.now;
}

/** Looks at every gun that has news; true when another look may see more. */
function judgeGuns(
  context: SiteContext,
  state: PipelineState,
  now: number,
  told: Finding[] | null,
  touched: ReadonlySet<string>,
): boolean {
  let moved = false;
  for (const { id } of context.plant.guns)
    if (touched.has(id) && judgeGun(benchOf(context, state, id, now, told))) moved = true;
  return moved;
}

/** Takes in blocks, and looks at their guns; true when another look may see more. */
function takeBlocks(
  context: SiteContext,
  state: PipelineState,
  blocks: readonly Block[],
  now: number,
  told: Finding[] | null,
  touched: Set<string>,
): boolean {
  const atmosphere = atmosphereBar(context.plant.site.altitude);
  for (const block of blocks) {
    const bench = benchOf(context, state, block.gun, now, told);
    const { memory } = bench;
    bringIn(bench.pool.gaussian);
    const known = wearLearning(bench) === null;
    followSupply(memory, block);
    const troubled = supplyTroubled(state.book, memory, now);
    const unproven = (): boolean => bench.pool.guns[block.gun]?.proof != null && isWet(state.book, block.gun);
    // Off its curves, output teaches nothing of the pump, and ripple nothing of its seals; in wet air no output proves a change.
    const heard = troubled
      ? { ...block, output: Number.NaN, ripple: Number.NaN }
      : unproven()
        ? { ...block, output: Number.NaN }
        : block;
    learnSignals(memory, bench.pool, heard, atmosphere, bench.gun.output);
    // Of all guns before any is judged: what fell elsewhere at the same time decides.
    for (const side of SIDE_LINES) followLow(memory, side);
    noticeSteps(bench, heard, known && !troubled);
    touched.add(block.gun);
  }
  return judgeGuns(context, state, now, told, touched);
}

function judgeSite(
  context: SiteContext,
  state: PipelineState,
  facts: ReadonlyMap<string, HoldingFacts>,
  tick: Tick,
  told: Finding[] | null,
): void {
  const site = { plant: context.plant, guns: state.guns, book: state.book, now: tick.now, told };
  if (tick.sprayed) {
    judgeSupply(site);
    judgeSharedLines(site);
  }
  // Also where nothing is new: an open finding is told anew after some spray hours.
  if (!tick.factsChanged && !tick.sprayed) return;
  const wet = [];
  for (const [station, held] of facts) {
    const holding = held.at(tick.now);
    for (const fact of holding) if (fact.kind === 'wet-air') wet.push(fact);
    judgeFacts(site, station, holding, state.guns[station]?.sprayHours ?? tick.now / 3_600_000);
    const memory = state.guns[station];
    if (memory === undefined) continue;
    memory.distrust = distrusted(holding);
    if (memory.runs === 0) noteSilence(memory, silentSince(holding), tick.now);
  }
  judgeDewPoint(site, wet, state.pools);
}
