import type { LogEntry, Plant, RunTable } from '../collector/contract/index.ts';
import { type Block, closeAllBlocks, closeBlocks } from './baseline/block.ts';
import type { GunMemory } from './baseline/gun-memory.ts';
import { learnRun } from './baseline/learn-run.ts';
import { atmosphereBar } from './runs/atmosphere.ts';

/** From here on a gun's baseline is learnt anew. */
export interface LearnAnew {
  readonly action: 'learn-anew';
  readonly gun: string;
  readonly time: number;
}

/** What happened to a gun at a time. */
export type TickEntry = LogEntry | LearnAnew;

/** Who takes what the runs of a tick come to, in its order. */
export interface RunTaker {
  /** Blocks that closed, by their ends. */
  blocks(blocks: readonly Block[]): void;
  entry(entry: TickEntry): void;
}

/** What one tick takes in: runs, log entries, and whether stations have news, all within (start, now]. */
export interface Tick {
  readonly now: number;
  readonly log: readonly TickEntry[];
  readonly factsChanged: boolean;
  /** Whether any gun has runs. */
  readonly sprayed: boolean;
  /** Takes runs into the counters, zeros and open blocks of their guns; what comes of them is handed to the taker on the way. */
  play(guns: Readonly<Record<string, GunMemory>>, taker: RunTaker): void;
}

/** Ticks that were found before, see `RunTape`. */
export interface TickTape {
  /** The ticks within (from, to]. */
  within(from: number, to: number): Iterable<Tick>;
}

/** Runs [from, to) of a gun. */
export interface RunSpan {
  readonly gun: string;
  readonly table: RunTable;
  readonly from: number;
  readonly to: number;
}

/** Runs before and after such an entry must not be averaged; a look moves nothing, not even where a block ends. */
function mayMove({ action }: TickEntry): boolean {
  return action !== 'inspected';
}

/** A tick as it is found in the runs. */
export class RunTick implements Tick {
  readonly now: number;
  readonly runs: readonly RunSpan[];
  readonly log: readonly TickEntry[];
  readonly factsChanged: boolean;
  readonly #plant: Plant;

  constructor(plant: Plant, now: number, runs: readonly RunSpan[], log: readonly TickEntry[], factsChanged: boolean) {
    this.#plant = plant;
    this.now = now;
    this.runs = runs;
    this.log = log;
    this.factsChanged = factsChanged;
  }

  get sprayed(): boolean {
    return this.runs.length > 0;
  }

  play(guns: Readonly<Record<string, GunMemory>>, taker: RunTaker): void {
    const closed: Closed[] = [];
    const news: Block[] = [];
    const keep = (order: number): void => {
      for (const block of news) closed.push({ block, order });
      news.length = 0;
    };
    const late: TickEntry[] = [];
    const atmosphere = atmosphereBar(this.#plant.site.altitude);
    for (let order = 0; order < this.runs.length; order++) {
      const { gun, table, from, to } = this.runs[order]!;
      const memory = guns[gun]!;
      const entries = this.log.length === 0 ? this.log : this.log.filter((entry) => entry.gun === gun);
      const measured = this.#plant.guns.find(({ id }) => id === gun)!.output === 'measured';
      let next = 0;
      for (let row = from; row < to; row++) {
        while (next < entries.length && entries[next]!.time <= table.columns.start[row]!) {
          const entry = entries[next++]!;
          if (mayMove(entry)) {
            closeAllBlocks(gun, memory.open, news);
            keep(order);
            handOver(closed, taker);
          }
          taker.entry(entry);
        }
        learnRun(memory, table, row, atmosphere, measured, news);
        if (news.length > 0) keep(order);
      }
      for (; next < entries.length; next++) late.push(entries[next]!);
    }
    for (const entry of this.log)
      if (!this.runs.some(({ gun }) => gun === entry.gun) && guns[entry.gun] !== undefined) late.push(entry);
    for (const { gun } of late.filter(mayMove)) closeAllBlocks(gun, guns[gun]!.open, news);
    const onlyLooked = !this.sprayed && !this.factsChanged && !this.log.some(mayMove);
    for (const { id } of this.#plant.guns) {
      const { open } = guns[id]!;
      if (open.length > 0 && !onlyLooked) closeBlocks(id, open, this.now, news);
    }
    keep(0);
    handOver(closed, taker);
    for (const entry of late) taker.entry(entry);
  }
}

/** A block, and the place among the runs of its tick that closed it: it decides where two end at once. */
interface Closed {
  readonly block: Block;
  readonly order: number;
}

const byEnd = (left: Closed, right: Closed): number => left.block.end - right.block.end || left.order - right.order;

function handOver(closed: Closed[], taker: RunTaker): void {
  if (closed.length === 0) return;
  if (closed.length > 1) closed.sort(byEnd);
  taker.blocks(closed.map(({ block }) => block));
  closed.length = 0;
}
