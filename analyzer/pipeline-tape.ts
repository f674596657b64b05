import type { LogEntry, Plant, RunTable } from '../collector/contract/index.ts';
import type { Block } from './baseline/block.ts';
import { type GunMemory, newGunMemory } from './baseline/gun-memory.ts';
import { countRuns } from './baseline/learn-run.ts';
import { PackedBlocks } from './baseline/packed-blocks.ts';
import { packZeros, unpackZeros, ZERO_NUMBERS } from './detect/zero-tracker.ts';
import { distrusted } from './pipeline-facts.ts';
import type { RunTaker, RunTick, Tick, TickEntry, TickTape } from './pipeline-runs.ts';
import { holdingFacts, ticksOf } from './pipeline-ticks.ts';
import type { Track } from './site.ts';

/** A gun whose runs are on a tape. */
interface TapedGun {
  readonly id: string;
  readonly table: RunTable | null;
}

/** Ticks that are recorded in one step. Source: own choice, some milliseconds. */
const TICKS_A_STEP = 256;
const FACTS_CHANGED = 1;
const SPRAYED = 2;
const NO_ENTRIES: readonly TickEntry[] = [];

/** Numbers a gun whose runs were played: its place, the rows from and to, and its counters after them; see `Reel.played`. */
const PLAYED = 8;

/**
 * What is on a tape, as lists of numbers. A tick is some passages; a passage is the runs that were played until something was handed
 * over, a few numbers a gun, and that: blocks, or an entry of the log.
 */
class Reel {
  readonly guns: readonly TapedGun[];
  readonly nows: number[] = [];
  readonly flags: number[] = [];
  /** Up to here, not included: passages of a tick, and what was played and closed in a passage. */
  readonly passageEnds: number[] = [];
  readonly playedEnds: number[] = [];
  readonly blockEnds: number[] = [];
  /** Place of a gun, rows from and to, spray hours after them, and the four numbers of its shift; where the powder changed, the rows tell. */
  readonly played: number[] = [];
  /** Zeros of a block's gun when it was handed over, in the order of the blocks: nobody asks for them but who looks at a gun after a block. */
  readonly zeros: number[] = [];
  readonly blocks = new PackedBlocks();
  /** By passage, and by tick. */
  readonly entries = new Map<number, TickEntry>();
  readonly logs = new Map<number, readonly TickEntry[]>();

  constructor(guns: readonly TapedGun[]) {
    this.guns = guns;
  }

  /** Plays a tick on memories of counters alone, and keeps what comes of it. */
  add(tick: RunTick, memories: Readonly<Record<string, GunMemory>>): void {
    const at = tick.runs.map(({ from }) => from);
    const pass = (blocks: readonly Block[], entry: TickEntry | null): void => {
      const before = this.played.length;
      for (let order = 0; order < at.length; order++) {
        const { gun } = tick.runs[order]!;
        const { runs: to, sprayHours, shift } = memories[gun]!;
        if (to > at[order]!) {
          const place = this.guns.findIndex(({ id }) => id === gun);
          this.played.push(place, at[order]!, to, sprayHours, shift.day, shift.hours, shift.usual, shift.days);
        }
        at[order] = to;
      }
      if (this.played.length === before && blocks.length === 0 && entry === null) return;
      for (const block of blocks) {
        this.blocks.push(block);
        packZeros(memories[block.gun]!.zeros, this.zeros, this.zeros.length);
      }
      if (entry !== null) this.entries.set(this.playedEnds.length, entry);
      this.playedEnds.push(this.played.length);
      this.blockEnds.push(this.blocks.length);
    };
    tick.play(memories, { blocks: (blocks) => pass(blocks, null), entry: (entry) => pass([], entry) });
    pass([], null);
    if (tick.log.length > 0) this.logs.set(this.nows.length, tick.log);
    this.nows.push(tick.now);
    this.flags.push((tick.factsChanged ? FACTS_CHANGED : 0) | (tick.sprayed ? SPRAYED : 0));
    this.passageEnds.push(this.playedEnds.length);
  }
}

/**
 * All that stage two makes of runs before anything is believed or decided: the ticks of a history with their blocks. Nothing of it depends on
 * settings, so it is found once for all that are tried; the same code finds it that runs live.
 */
export class RunTape implements TickTape {
  readonly #reel: Reel;

  private constructor(reel: Reel) {
    this.#reel = reel;
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
    const guns = plant.guns.map(({ id, output }): TapedGun => {
      memories[id] = newGunMemory(id, output === 'coupled' ? 'coupled' : 'value');
      return { id, table: tracks.get(id)?.runs ?? null };
    });
    const facts = holdingFacts(tracks);
    const reel = new Reel(guns);
    let first: number | null = null;
    for (const tick of ticksOf({ plant, tracks, log }, 0, upTo)) {
      first ??= tick.now;
      if (reel.nows.length % TICKS_A_STEP === 0) yield (tick.now - first) / Math.max(1, upTo - first);
      reel.add(tick, memories);
      if (!tick.factsChanged && !tick.sprayed) continue;
      for (const [station, held] of facts) {
        const memory = memories[station];
        if (memory !== undefined) memory.distrust = distrusted(held.at(tick.now));
      }
    }
    return new RunTape(reel);
  }

  /** The ticks within (from, to]. */
  *within(from: number, to: number): Generator<Tick> {
    const { nows } = this.#reel;
    let low = 0;
    let high = nows.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (nows[middle]! > from) high = middle;
      else low = middle + 1;
    }
    for (let place = low; place < nows.length && nows[place]! <= to; place++) yield new TapedTick(this.#reel, place);
  }
}

class TapedTick implements Tick {
  readonly #reel: Reel;
  readonly #place: number;

  constructor(reel: Reel, place: number) {
    this.#reel = reel;
    this.#place = place;
  }

  get now(): number {
    return this.#reel.nows[this.#place]!;
  }

  get log(): readonly TickEntry[] {
    return this.#reel.logs.get(this.#place) ?? NO_ENTRIES;
  }

  get factsChanged(): boolean {
    return (this.#reel.flags[this.#place]! & FACTS_CHANGED) !== 0;
  }

  get sprayed(): boolean {
    return (this.#reel.flags[this.#place]! & SPRAYED) !== 0;
  }

  play(memories: Readonly<Record<string, GunMemory>>, taker: RunTaker): void {
    const { guns, passageEnds, playedEnds, blockEnds, played, zeros, blocks, entries } = this.#reel;
    const last = passageEnds[this.#place]!;
    for (let passage = passageEnds[this.#place - 1] ?? 0; passage < last; passage++) {
      for (let at = playedEnds[passage - 1] ?? 0; at < playedEnds[passage]!; at += PLAYED) {
        const { id, table } = guns[played[at]!]!;
        count(memories[id]!, table!, played, at);
      }
      const closed: Block[] = [];
      for (let at = blockEnds[passage - 1] ?? 0; at < blockEnds[passage]!; at++) {
        const block = blocks.at(at);
        closed.push(block);
        unpackZeros(memories[block.gun]!.zeros, zeros, at * ZERO_NUMBERS);
      }
      if (closed.length > 0) taker.blocks(closed);
      const entry = entries.get(passage);
      if (entry !== undefined) taker.entry(entry);
    }
  }
}

/** Brings the counters of a gun to what they were after runs that were played: what was counted for one way through is what every way counts. */
function count(memory: GunMemory, table: RunTable, played: readonly number[], at: number): void {
  const from = played[at + 1]!;
  const to = played[at + 2]!;
  if (!isOnePowder(memory, table, from, to)) {
    countRuns(memory, table, from, to);
    return;
  }
  const { shift, powder, powderRuns } = memory;
  memory.runs = to;
  memory.sprayHours = played[at + 3]!;
  shift.day = played[at + 4]!;
  shift.hours = played[at + 5]!;
  shift.usual = played[at + 6]!;
  shift.days = played[at + 7]!;
  powderRuns[powder] = (powderRuns[powder] ?? 0) + to - from;
  memory.lastEnd = table.columns.end[to - 1]!;
}

/** True where all of some runs are of the powder that the gun has sprayed before. */
function isOnePowder({ powder }: GunMemory, { powders, columns }: RunTable, from: number, to: number): boolean {
  for (let row = from; row < to; row++) if ((powders[columns.powder[row]!] ?? '') !== powder) return false;
  return true;
}
