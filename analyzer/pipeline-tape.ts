import type { LogEntry, Plant, RunTable } from '../collector/contract/index.ts';
import type { Block } from './baseline/block.ts';
import { type GunMemory, newGunMemory } from './baseline/gun-memory.ts';
import { countRuns } from './baseline/learn-run.ts';
import { blockAt } from './baseline/packed-blocks.ts';
import { unpackZeros } from './detect/zero-tracker.ts';
import { distrusted } from './pipeline-facts.ts';
import { FACTS_CHANGED, LOGGED, MIXED, PLAYED, type Reel, ReelWinder, SPRAYED } from './pipeline-reel.ts';
import type { RunTaker, Tick, TickEntry, TickTape } from './pipeline-runs.ts';
import { holdingFacts, ticksOf } from './pipeline-ticks.ts';
import type { Track } from './site.ts';

/** Ticks that are recorded in one step. Source: own choice, some milliseconds. */
const TICKS_A_STEP = 256;
const NO_ENTRIES: readonly TickEntry[] = [];

/**
 * All that stage two makes of runs before anything is believed or decided: the ticks of a history with their blocks. Nothing of it depends on
 * settings, so it is found once for all that are tried; the same code finds it that runs live.
 */
export class RunTape implements TickTape {
  readonly reel: Reel;
  /** By gun, in the order of the reel. */
  readonly #tables: readonly (RunTable | null)[];

  /** @param tracks those that the reel was recorded of, or the same again */
  constructor(reel: Reel, tracks: ReadonlyMap<string, Track>) {
    this.reel = reel;
    this.#tables = reel.guns.map((id) => tracks.get(id)?.runs ?? null);
  }

  /**
   * Records a tape of all up to a reading time, epoch ms.
   *
   * @returns a generator that tells the share of the reading time that is recorded, every so often
   */
  static *recording(
    plant: Plant,
    tracks: ReadonlyMap<string, Track>,
    log: readonly LogEntry[],
    upTo: number,
  ): Generator<number, RunTape> {
    const memories: Record<string, GunMemory> = {};
    for (const { id, output } of plant.guns)
      memories[id] = newGunMemory(id, output === 'coupled' ? 'coupled' : 'value');
    const facts = holdingFacts(tracks);
    const winder = new ReelWinder(plant.guns.map(({ id }) => id));
    let first: number | null = null;
    for (const tick of ticksOf({ plant, tracks, log }, 0, upTo)) {
      first ??= tick.now;
      if (winder.ticks % TICKS_A_STEP === 0) yield (tick.now - first) / Math.max(1, upTo - first);
      winder.add(tick, memories);
      if (!tick.factsChanged && !tick.sprayed) continue;
      for (const [station, held] of facts) {
        const memory = memories[station];
        if (memory !== undefined) memory.distrust = distrusted(held.at(tick.now));
      }
    }
    return new RunTape(winder.wound(), tracks);
  }

  /** The ticks within (from, to]. */
  *within(from: number, to: number): Generator<Tick> {
    const { nows } = this.reel;
    let low = 0;
    let high = nows.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (nows[middle]! > from) high = middle;
      else low = middle + 1;
    }
    for (let place = low; place < nows.length && nows[place]! <= to; place++)
      yield new TapedTick(this.reel, this.#tables, place);
  }
}

class TapedTick implements Tick {
  readonly now: number;
  readonly log: readonly TickEntry[];
  readonly factsChanged: boolean;
  readonly sprayed: boolean;
  readonly #reel: Reel;
  readonly #tables: readonly (RunTable | null)[];
  readonly #place: number;

  constructor(reel: Reel, tables: readonly (RunTable | null)[], place: number) {
    const flags = reel.flags[place]!;
    this.now = reel.nows[place]!;
    this.log = (flags & LOGGED) === 0 ? NO_ENTRIES : reel.logs.get(place)!;
    this.factsChanged = (flags & FACTS_CHANGED) !== 0;
    this.sprayed = (flags & SPRAYED) !== 0;
    this.#reel = reel;
    this.#tables = tables;
    this.#place = place;
  }

  play(memories: Readonly<Record<string, GunMemory>>, taker: RunTaker): void {
    const { guns, passageEnds, playedEnds, blockEnds, played, isEntry, entries } = this.#reel;
    const tables = this.#tables;
    const place = this.#place;
    const last = passageEnds[place]!;
    for (let passage = place === 0 ? 0 : passageEnds[place - 1]!; passage < last; passage++) {
      const until = playedEnds[passage]!;
      for (let at = passage === 0 ? 0 : playedEnds[passage - 1]!; at < until; at += PLAYED) {
        const gun = played[at]!;
        count(memories[guns[gun]!]!, tables[gun]!, played, at);
      }
      const first = passage === 0 ? 0 : blockEnds[passage - 1]!;
      if (first < blockEnds[passage]!) taker.blocks(this.#closed(memories, first, blockEnds[passage]!));
      if (isEntry[passage] === 1) taker.entry(entries.get(passage)!);
    }
  }

  /** Blocks from and to a place, and the zeros of their guns where they matter. */
  #closed(memories: Readonly<Record<string, GunMemory>>, from: number, to: number): Block[] {
    const { blocks, zeros, zerosAt } = this.#reel;
    const closed: Block[] = [];
    for (let at = from; at < to; at++) {
      const block = blockAt(blocks, at);
      closed.push(block);
      if (zerosAt[at]! >= 0) unpackZeros(memories[block.gun]!.zeros, zeros, zerosAt[at]!);
    }
    return closed;
  }
}

/** Brings the counters of a gun to what they were after runs that were played: what was counted for one way through is what every way counts. */
function count(memory: GunMemory, table: RunTable, played: Float64Array, at: number): void {
  const from = played[at + 1]!;
  const to = played[at + 2]!;
  const place = played[at + 8]!;
  if (place === MIXED) {
    countRuns(memory, table, from, to);
    return;
  }
  const powder = place < 0 ? '' : (table.powders[place] ?? '');
  const { shift, powderRuns } = memory;
  if (powder !== memory.powder) {
    memory.powder = powder;
    memory.powderSince = table.columns.start[from]!;
  }
  powderRuns[powder] = (powderRuns[powder] ?? 0) + to - from;
  memory.runs = to;
  memory.sprayHours = played[at + 3]!;
  shift.day = played[at + 4]!;
  shift.hours = played[at + 5]!;
  shift.usual = played[at + 6]!;
  shift.days = played[at + 7]!;
  memory.lastEnd = table.columns.end[to - 1]!;
}
