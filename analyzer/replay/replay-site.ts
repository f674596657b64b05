import type { Finding } from '../../collector/contract/index.ts';
import { cutSite, type SiteInput } from '../batch.ts';
import { sitePipeline } from '../pipeline.ts';
import { type SprayClock, sprayClock } from './spray-clock.ts';

/** What an analysis of a whole history found, and the spray hours that it saw. */
export interface Replay {
  readonly findings: readonly Finding[];
  readonly snapshots: readonly Finding[];
  /** By gun. */
  readonly clocks: ReadonlyMap<string, SprayClock>;
}

/** Analyses a history with the very code that runs live, and keeps each gun's spray clock for scoring. */
export function replaySite({ plant, settings, log, readings }: SiteInput): Replay {
  const context = { plant, settings: [{ version: 1, adopted: 0, settings }] };
  const { tracks, upTo } = cutSite(plant, readings);
  const state = sitePipeline.init(context);
  const snapshots = sitePipeline.advance(context, state, tracks, log, upTo);
  const clocks = new Map([...tracks].map(([station, { runs }]) => [station, sprayClock(runs)]));
  return { findings: sitePipeline.findings(context, state), snapshots, clocks };
}
