import type { Finding, Plant, Relearning } from '../collector/contract/index.ts';
import { CLOCK_HOLDS_MS, RANGE_HOLDS_MS } from './diagnose/judge-site.ts';
import { endForLearning } from './diagnose/learn-anew.ts';
import { RunCursor } from './pipeline-cursor.ts';
import { HoldingFacts } from './pipeline-facts.ts';
import { type RunSpan, RunTick, type TickEntry } from './pipeline-runs.ts';
import { initialState, type PipelineState } from './pipeline-state.ts';
import { benchOf, takeTick } from './pipeline-tick.ts';
import { TICK_MS } from './pipeline-tick-length.ts';
import { noticedAt } from './runs/track.ts';
import type { SiteContext, Track } from './site.ts';

/** Reading times at which facts of all stations begin or end to hold, ascending, within (from, to]. */
function factTimes(tracks: ReadonlyMap<string, Track>, from: number, to: number): number[] {
  const times: number[] = [];
  const add = (time: number): void => {
    if (time > from && time <= to) times.push(time);
  };
  for (const track of tracks.values())
    for (const fact of track.facts) {
      add(noticedAt(fact));
      if ('until' in fact && fact.until !== null) add(fact.until);
      if (fact.kind === 'range') add(fact.time + RANGE_HOLDS_MS);
      if (fact.kind === 'clock') add(fact.time + CLOCK_HOLDS_MS);
    }
  return times.sort((left, right) => left - right);
}

/** What ticks are found in. */
export interface TickSource {
  readonly plant: Plant;
  readonly tracks: ReadonlyMap<string, Track>;
  readonly log: readonly TickEntry[];
}

/** The ticks within (from, to] at which anything happened, and those at which people's words begin or cease to hold. */
export function* ticksOf({ plant, tracks, log }: TickSource, from: number, to: number, words: readonly number[] = []) {
  const cursors: RunCursor[] = [];
  for (const { id } of plant.guns) {
    const track = tracks.get(id);
    if (track !== undefined) cursors.push(new RunCursor(id, track, from, to));
  }
  const entries = log.filter(({ time }) => time > from && time <= to).sort((left, right) => left.time - right.time);
  const facts = factTimes(tracks, from, to);
  let entry = 0;
  let fact = 0;
  let word = 0;
  for (;;) {
    let next = Number.POSITIVE_INFINITY;
    for (const cursor of cursors) next = Math.min(next, cursor.end);
    if (entry < entries.length) next = Math.min(next, entries[entry]!.time);
    if (fact < facts.length) next = Math.min(next, facts[fact]!);
    if (word < words.length) next = Math.min(next, words[word]!);
    const now = Math.ceil(next / TICK_MS) * TICK_MS;
    if (!(now <= to)) return;
    const runs: RunSpan[] = [];
    for (const cursor of cursors) {
      const span = cursor.take(now);
      if (span !== null) runs.push(span);
    }
    const firstEntry = entry;
    while (entry < entries.length && entries[entry]!.time <= now) entry++;
    const firstFact = fact;
    while (fact < facts.length && facts[fact]! <= now) fact++;
    while (word < words.length && words[word]! <= now) word++;
    yield new RunTick(plant, now, runs, entries.slice(firstEntry, entry), fact > firstFact);
  }
}

/** Facts of the stations that have any. */
export function holdingFacts(tracks: ReadonlyMap<string, Track>): Map<string, HoldingFacts> {
  const holding = new Map<string, HoldingFacts>();
  for (const track of tracks.values()) if (track.facts.length > 0) holding.set(track.station, new HoldingFacts(track));
  return holding;
}

/** One way through the readings of a site. */
export interface Way {
  readonly context: SiteContext;
  readonly state: PipelineState;
  readonly tracks: ReadonlyMap<string, Track>;
  /** Null where nobody wants snapshots. */
  readonly told: Finding[] | null;
}

/** Takes in everything with a time in (state's, end]; `words` are the times at which people's words on baselines begin or cease to hold. */
export function runTicks(way: Way, log: readonly TickEntry[], end: number, words: readonly number[]): void {
  const { context, state, tracks, told } = way;
  const { plant, tape } = context;
  const facts = holdingFacts(tracks);
  const ticks =
    tape === undefined ? ticksOf({ plant, tracks, log }, state.time, end, words) : tape.within(state.time, end);
  let word = 0;
  for (const tick of ticks) {
    takeTick(context, state, facts, tick, told);
    const firstWord = word;
    while (word < words.length && words[word]! <= tick.now) word++;
    if (word > firstWord) followWords(way, log, words[firstWord]!, tick.now);
  }
  state.time = end;
}

/**
 * Words on baselines began or ceased to hold at `now`. What had been known of their guns is replaced by what would be, had they been learnt
 * anew when people say; what was raised stays, and ends here where it rested on the baseline that is left.
 */
function followWords(
  { context, state, tracks, told }: Way,
  log: readonly TickEntry[],
  since: number,
  now: number,
): void {
  const { relearnings } = context.words!;
  const holding = holdingAt(relearnings, now);
  const anew = holding.map(({ gun, from }) => ({ action: 'learn-anew' as const, gun, time: from }));
  const aside: Way = { context, state: initialState(context), tracks, told: null };
  runTicks(aside, [...log, ...anew], now, []);
  for (const { gun, decided, undone } of relearnings.filter(everHeld)) {
    const changed = [decided, undone].some((time) => time !== null && time >= since && time <= now);
    if (!changed || state.guns[gun] === undefined) continue;
    endForLearning(
      benchOf(context, state, gun, now, told),
      holding.some((one) => one.gun === gun),
    );
    state.guns[gun] = aside.state.guns[gun]!;
    state.pools[state.poolOf[gun]!] = aside.state.pools[state.poolOf[gun]!]!;
  }
}

/** Whether it held for any time: one that is undone at once never did. */
const everHeld = ({ decided, undone }: Relearning): boolean => undone === null || undone > decided;

/** What holds at a time: of each gun the decision that was made last. */
function holdingAt(relearnings: readonly Relearning[], now: number): Relearning[] {
  const newest = new Map<string, Relearning>();
  for (const one of relearnings)
    if (one.decided <= now && (one.undone === null || one.undone > now)) newest.set(one.gun, one);
  return [...newest.values()];
}

/** Reading times in (from, to] at which words on baselines begin or cease to hold, ascending. */
export function wordsIn({ words }: SiteContext, from: number, to: number): number[] {
  const times = (words?.relearnings ?? [])
    .filter(everHeld)
    .flatMap(({ decided, undone }) => [decided, undone ?? Number.POSITIVE_INFINITY]);
  return times.filter((time) => time > from && time <= to).sort((left, right) => left - right);
}
