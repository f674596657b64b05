import type { LogEntry, Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { finish } from '../finish.ts';
import { sitePipeline } from '../pipeline.ts';
import type { PipelineState } from '../pipeline-state.ts';
import type { SiteContext, Track } from '../site.ts';
import { basisOf, seenOn } from './basis.ts';
import { Checkpoints } from './checkpoints.ts';
import { HELD } from './held-runs.ts';
import { storedTracks } from './known-tracks.ts';
import { LiveRecords } from './live-records.ts';

/** What the analysis believes of a site, as far as a store's readings go. */
export interface StoredBelief {
  readonly context: SiteContext;
  readonly state: PipelineState;
  /** Their older runs are read when they are asked for. */
  readonly tracks: ReadonlyMap<string, Track>;
  readonly log: readonly LogEntry[];
}

/**
 * What the live analysis believes, out of the store alone and without changing it: the newest state that it kept and that still holds, taken
 * on to the newest reading by the same code. Without one, all is gone through from the first reading.
 */
export function storedBelief(store: Store, plant: Plant): StoredBelief {
  const tracks = finish(storedTracks(store, plant, HELD));
  const records = new LiveRecords(store);
  const seen = seenOn(store.states, basisOf(sitePipeline.stateVersion, plant));
  let kept: PipelineState | null = null;
  if (seen !== null) {
    records.seen = seen;
    const checkpoints = new Checkpoints<PipelineState>('live/site/', () => 0);
    checkpoints.load(store.states);
    kept = checkpoints.before(records.look())?.state ?? null;
  }
  const context: SiteContext = { plant, settings: records.settings, words: records.words };
  const state = kept ?? sitePipeline.init(context);
  let newest = 0;
  for (const { lastTime } of tracks.values()) newest = Math.max(newest, lastTime);
  sitePipeline.advance(context, state, tracks, records.log, newest);
  return { context, state, tracks, log: records.log };
}
