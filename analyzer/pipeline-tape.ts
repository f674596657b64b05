import type { LogEntry, Plant } from '../collector/contract/index.ts';
import type { Block } from './baseline/block.ts';
import { type GunMemory, newGunMemory } from './baseline/gun-memory.ts';
import { countRuns } from './baseline/learn-run.ts';
import { distrusted } from './pipeline-facts.ts';
import type { RunSpan, RunTaker, RunTick, Tick, TickEntry, TickTape } from './pipeline-runs.ts';
import { holdingFacts, ticksOf } from './pipeline-ticks.ts';
import type { Track } from './site.ts';

/** What came at once: the runs that were played until then, and what was handed over. */
interface Passage {
  readonly played: readonly RunSpan[];
  readonly blocks: readonly Block[];
  readonly entry: TickEntry | null;
}

/**
 * All that stage two makes of runs before anything is believed or decided: the ticks of a history with their blocks. Nothing of it depends on settings, so it is found once for all that are tried; the same code finds it that runs live.
 */
export class RunTape implements TickTape {
  readonly #ticks: readonly TapedTick[];

  private constructor(ticks: readonly TapedTick[]) {
    this.#ticks = ticks;
  }

  /** @param upTo reading time, epoch ms */
  static record(plant: Plant, tracks: ReadonlyMap<string, Track>, log: readonly LogEntry[], upTo: number): RunTape {
    const guns: Record<string, GunMemory> = {};
    for (const { id, output } of plant.guns) guns[id] = newGunMemory(id, output === 'coupled' ? 'coupled' : 'value');
    const facts = holdingFacts(tracks);
    const ticks: TapedTick[] = [];
    const measured = new Set(plant.guns.filter(({ output }) => output === 'measured').map(({ id }) => id));
    for (const tick of ticksOf({ plant, tracks, log }, 0, upTo)) {
      ticks.push(taped(tick, guns, measured));
      if (!tick.factsChanged && !tick.sprayed) continue;
      for (const [station, held] of facts) {
        const memory = guns[station];
        if (memory !== undefined) memory.distrust = distrusted(held.at(tick.now));
      }
    }
    return new RunTape(ticks);
  }

  /** The ticks within (from, to]. */
  *within(from: number, to: number): Generator<Tick> {
    let low = 0;
    let high = this.#ticks.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.#ticks[middle]!.now > from) high = middle;
      else low = middle + 1;
    }
    for (let place = low; place < this.#ticks.length && this.#ticks[place]!.now <= to; place++)
      yield this.#ticks[place]!;
  }
}

class TapedTick implements Tick {
  readonly now: number;
  readonly log: readonly TickEntry[];
  readonly factsChanged: boolean;
  readonly sprayed: boolean;
  readonly #passages: readonly Passage[];
  readonly #measured: ReadonlySet<string>;

  constructor({ now, log, factsChanged, sprayed }: Tick, passages: readonly Passage[], measured: ReadonlySet<string>) {
    this.now = now;
    this.log = log;
    this.factsChanged = factsChanged;
    this.sprayed = sprayed;
    this.#passages = passages;
    this.#measured = measured;
  }

  play(guns: Readonly<Record<string, GunMemory>>, taker: RunTaker): void {
    for (const { played, blocks, entry } of this.#passages) {
      for (const { gun, table, from, to } of played) countRuns(guns[gun]!, table, from, to, this.#measured.has(gun));
      if (blocks.length > 0) taker.blocks(blocks);
      if (entry !== null) taker.entry(entry);
    }
  }
}

/** Plays a tick on memories of counters alone, and keeps what comes of it. */
function taped(tick: RunTick, guns: Readonly<Record<string, GunMemory>>, measured: ReadonlySet<string>): TapedTick {
  const passages: Passage[] = [];
  const at = tick.runs.map(({ from }) => from);
  const pass = (blocks: readonly Block[], entry: TickEntry | null): void => {
    const played: RunSpan[] = [];
    for (const [order, { gun, table }] of tick.runs.entries()) {
      const [from, to] = [at[order]!, guns[gun]!.runs];
      if (to > from) played.push({ gun, table, from, to });
      at[order] = to;
    }
    if (played.length > 0 || blocks.length > 0 || entry !== null) passages.push({ played, blocks, entry });
  };
  tick.play(guns, { blocks: (blocks) => pass(blocks, null), entry: (entry) => pass([], entry) });
  pass([], null);
  return new TapedTick(tick, passages, measured);
}
