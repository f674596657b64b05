import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { SitePipeline } from '../../../analyzer/index.ts';
import type { Holding } from '../../../analyzer/live/held-runs.ts';
import { LiveAnalyzer } from '../../../analyzer/live/live-analyzer.ts';
import { CHANNEL_NAMES, type Finding, type Frames, type Pack, type Plant } from '../../../collector/contract/index.ts';
import { openStore, type Store, startWriter, type Writer } from '../../../collector/index.ts';

/** A data folder with a real store and its writer. */
export async function openHall(): Promise<{ dir: string; writer: Writer; store: Store; close(): Promise<void> }> {
  const dir = mkdtempSync(join(tmpdir(), 'driftline-live-'));
  const writer = await startWriter(dir);
  const store = openStore(dir);
  return {
    dir,
    writer,
    store,
    close: async () => {
      store.close();
      await writer.stop();
      rmSync(dir, { recursive: true, force: true });
    },
  };
}

/** Rows [from, to) of frames as a pack, as a node would send it. */
export function packOf(frames: Frames, from: number, to: number): Pack {
  const pack: Pack = {
    station: frames.station,
    times: [],
    channels: [],
    values: [],
    strings: [...frames.strings],
    provenance: '',
  };
  for (let row = from; row < to; row++)
    for (const [channel, name] of CHANNEL_NAMES.entries()) {
      const value = frames.columns[name]?.[row] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      pack.times.push(frames.times[row]!);
      pack.channels.push(channel);
      pack.values.push(value);
    }
  return pack;
}

/** Frames cut into packs of at most `rows` rows. */
export function packsOf(frames: Frames, rows: number): Pack[] {
  const packs: Pack[] = [];
  for (let from = 0; from < frames.times.length; from += rows)
    packs.push(packOf(frames, from, Math.min(frames.times.length, from + rows)));
  return packs;
}

/** Lets an analyzer work until nothing is left to do, skipping its pauses. */
export function workOff<State>(analyzer: LiveAnalyzer<State>, clock: { now: number }): readonly Finding[] {
  for (;;) {
    const result = analyzer.work();
    clock.now += 1;
    if (typeof result === 'number') {
      if (result === Number.POSITIVE_INFINITY) break;
      clock.now += result;
    }
  }
  return analyzer.shown?.findings ?? [];
}

/** So few that each test goes back beyond them. */
export const FEW: Holding = { runsMs: 30 * 60_000, mostRuns: 40, ahead: 60 };

/** An analyzer over a store with a clock of its own. */
export function liveOver<State>(
  store: Store,
  plant: Plant,
  pipeline: SitePipeline<State>,
  holding: Holding = FEW,
): { analyzer: LiveAnalyzer<State>; clock: { now: number } } {
  const clock = { now: 1_800_000_000_000 };
  const analyzer = new LiveAnalyzer({ store, plant, pipeline, now: () => clock.now, holding });
  analyzer.resume();
  return { analyzer, clock };
}
