import type { RunTable } from '../collector/contract/index.ts';
import type { Block } from './baseline/block.ts';
import type { GunMemory } from './baseline/gun-memory.ts';
import { BlockPacker, type PackedBlocks } from './baseline/packed-blocks.ts';
import { pushedFlags, pushedFloats, pushedPlaces } from './baseline/pushed-numbers.ts';
import { isAnyOff, packZeros } from './detect/zero-tracker.ts';
import type { RunTick, TickEntry } from './pipeline-runs.ts';

export const FACTS_CHANGED = 1;
export const SPRAYED = 2;
export const LOGGED = 4;

/** Numbers a gun whose runs were played: its place, the rows from and to, its counters after them, and the powder of all of them; see `Reel.played`. */
export const PLAYED = 9;
/** Among them: the runs were of more than one powder. */
export const MIXED = -2;

/**
 * What is on a tape, as lists of numbers that threads share. A tick is some passages; a passage is the runs that were played until something was
 * handed over, a few numbers a gun, and that: blocks, or an entry of the log.
 */
export interface Reel {
  readonly guns: readonly string[];
  readonly nows: Float64Array;
  readonly flags: Uint8Array;
  /** Up to here, not included: passages of a tick, and what was played and closed in a passage. */
  readonly passageEnds: Int32Array;
  readonly playedEnds: Int32Array;
  readonly blockEnds: Int32Array;
  /** Place of a gun, rows from and to, spray hours after them, the four numbers of its shift, and the powder as its table has it. */
  readonly played: Float64Array;
  readonly blocks: PackedBlocks;
  /**
   * By block: where the zeros of its gun begin that it had when it was handed over, or -1: they matter where one of them is off or was with the block before, and
   * nobody asks for them but who looks at a gun after a block.
   */
  readonly zerosAt: Int32Array;
  readonly zeros: Float64Array;
  /** By passage 1 where it ends with an entry, and those; by tick where it is flagged. */
  readonly isEntry: Uint8Array;
  readonly entries: ReadonlyMap<number, TickEntry>;
  readonly logs: ReadonlyMap<number, readonly TickEntry[]>;
}

/** Winds a reel, tick by tick. */
export class ReelWinder {
  readonly #guns: readonly string[];
  readonly #nows = pushedFloats();
  readonly #flags = pushedFlags();
  readonly #passageEnds = pushedPlaces();
  readonly #playedEnds = pushedPlaces();
  readonly #blockEnds = pushedPlaces();
  readonly #played = pushedFloats();
  readonly #blocks = new BlockPacker();
  readonly #zerosAt = pushedPlaces();
  readonly #zeros = pushedFloats();
  readonly #wasOff = new Set<string>();
  readonly #isEntry = pushedFlags();
  readonly #entries = new Map<number, TickEntry>();
  readonly #logs = new Map<number, readonly TickEntry[]>();

  constructor(guns: readonly string[]) {
    this.#guns = guns;
  }

  get ticks(): number {
    return this.#nows.length;
  }

  /** Plays a tick on memories of counters alone, and keeps what comes of it. */
  add(tick: RunTick, memories: Readonly<Record<string, GunMemory>>): void {
    const at = tick.runs.map(({ from }) => from);
    const pass = (blocks: readonly Block[], entry: TickEntry | null): void => {
      const before = this.#played.length;
      for (let order = 0; order < at.length; order++) {
        const { gun, table } = tick.runs[order]!;
        const memory = memories[gun]!;
        if (memory.runs > at[order]!) this.#addPlayed(memory, table, at[order]!);
        at[order] = memory.runs;
      }
      if (this.#played.length === before && blocks.length === 0 && entry === null) return;
      for (const block of blocks) this.#addBlock(block, memories[block.gun]!);
      if (entry !== null) this.#entries.set(this.#playedEnds.length, entry);
      this.#isEntry.push(entry === null ? 0 : 1);
      this.#playedEnds.push(this.#played.length);
      this.#blockEnds.push(this.#blocks.length);
    };
    tick.play(memories, { blocks: (blocks) => pass(blocks, null), entry: (entry) => pass([], entry) });
    pass([], null);
    if (tick.log.length > 0) this.#logs.set(this.#nows.length, tick.log);
    this.#nows.push(tick.now);
    this.#flags.push(
      (tick.factsChanged ? FACTS_CHANGED : 0) | (tick.sprayed ? SPRAYED : 0) | (tick.log.length > 0 ? LOGGED : 0),
    );
    this.#passageEnds.push(this.#playedEnds.length);
  }

  #addPlayed({ id, runs, sprayHours, shift }: GunMemory, table: RunTable, from: number): void {
    const played = this.#played;
    played.push(this.#guns.indexOf(id));
    played.push(from);
    played.push(runs);
    played.push(sprayHours);
    played.push(shift.day);
    played.push(shift.hours);
    played.push(shift.usual);
    played.push(shift.days);
    played.push(powderOf(table, from, runs));
  }

  #addBlock(block: Block, { id, zeros }: GunMemory): void {
    this.#blocks.push(block);
    const off = isAnyOff(zeros);
    const told = off || this.#wasOff.has(id);
    this.#zerosAt.push(told ? this.#zeros.length : -1);
    if (told) packZeros(zeros, this.#zeros);
    if (off) this.#wasOff.add(id);
    else this.#wasOff.delete(id);
  }

  wound(): Reel {
    return {
      guns: this.#guns,
      nows: this.#nows.shared(),
      flags: this.#flags.shared(),
      passageEnds: this.#passageEnds.shared(),
      playedEnds: this.#playedEnds.shared(),
      blockEnds: this.#blockEnds.shared(),
      played: this.#played.shared(),
      blocks: this.#blocks.packed(),
      zerosAt: this.#zerosAt.shared(),
      zeros: this.#zeros.shared(),
      isEntry: this.#isEntry.shared(),
      entries: this.#entries,
      logs: this.#logs,
    };
  }
}

/** The powder of all of some runs, as their table has it. */
function powderOf({ columns: { powder } }: RunTable, from: number, to: number): number {
  const first = powder[from]!;
  for (let row = from + 1; row < to; row++) if (powder[row] !== first) return MIXED;
  return first;
}
