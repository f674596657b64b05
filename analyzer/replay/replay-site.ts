import type { Finding } from '../../collector/contract/index.ts';
import { analyzeSite, type SiteInput } from '../analyze-site.ts';
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
export function replaySite(input: SiteInput): Replay {
  const { findings, snapshots, tracks } = analyzeSite(sitePipeline, input);
  const clocks = new Map([...tracks].map(([station, { runs }]) => [station, sprayClock(runs)]));
  return { findings, snapshots, clocks };
}
