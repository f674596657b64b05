import type { BaselineWords, LogEntry, Plant, SettingsVersion } from '../../collector/contract/index.ts';
import type { RunTape } from '../pipeline-tape.ts';
import type { Track } from '../site.ts';
import type { SpannedJudgement } from './word-on-finding.ts';

/** All that settings can be tried on: what stage one made of a site's readings, and what people wrote down. Times are epoch ms. */
export interface SiteHistory {
  readonly plant: Plant;
  /** As stage two takes them. */
  readonly tracks: ReadonlyMap<string, Track>;
  readonly log: readonly LogEntry[];
  /** Versions that live findings followed, ascending by `adopted`. */
  readonly settings: readonly SettingsVersion[];
  readonly judgements: readonly SpannedJudgement[];
  /** What people said of baselines; absent for nothing. */
  readonly words?: BaselineWords;
  /** What all settings find in the runs alike; absent where it was not found yet, or where people had baselines learnt anew. */
  readonly tape?: RunTape;
  /** First and newest reading time; both 0 when nothing was ever read. */
  readonly firstTime: number;
  readonly upTo: number;
}

/** Reading times of the first and newest reading of any station. */
export function spanOf(tracks: ReadonlyMap<string, Track>): { readonly firstTime: number; readonly upTo: number } {
  let firstTime = Number.POSITIVE_INFINITY;
  let upTo = 0;
  for (const track of tracks.values()) {
    if (track.lastTime <= 0) continue;
    firstTime = Math.min(firstTime, track.firstTime);
    upTo = Math.max(upTo, track.lastTime);
  }
  return upTo === 0 ? { firstTime: 0, upTo: 0 } : { firstTime, upTo };
}
