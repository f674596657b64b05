import type { Plant } from '../../collector/contract/index.ts';
import { neededFrom, type SettledSilences, serves, settleSilences } from '../runs/settled-silences.ts';
import { siteTracks } from '../runs/site-tracks.ts';
import type { Track } from '../site.ts';
import type { CheckpointStore } from './checkpoints.ts';
import { packState, unpackState } from './state-bytes.ts';

const KEY = 'live/silences';

/** Tracks of each station for itself, with the facts that were over at a time or later; for 0 with all. */
type RawTracks = (since: number) => ReadonlyMap<string, Track>;

/** What silences of long ago came to, live: only newer facts have to be in memory and are looked at. */
export class LiveSilences {
  #settled: SettledSilences | null = null;
  #isStale = false;

  /** Facts that were over before this are of no more use; 0 while all are. */
  get neededFrom(): number {
    return neededFrom(this.#settled);
  }

  resume(states: Pick<CheckpointStore, 'get'>): void {
    const bytes = states.get(KEY);
    this.#settled = bytes === null ? null : unpackState<SettledSilences>(bytes);
  }

  /** What has a time of `from` or later has changed. */
  changed(from: number): void {
    if (this.#settled === null || from >= this.#settled.missing.before) return;
    this.#settled = null;
    this.#isStale = true;
  }

  /** Tracks of the site as stage two takes them that looks from a reading time on. */
  tracks(plant: Plant, raw: RawTracks, looksFrom: number): Map<string, Track> {
    const settled = this.#settled !== null && serves(this.#settled, looksFrom) ? this.#settled : null;
    return siteTracks(plant, raw(neededFrom(settled)), settled);
  }

  /** Settles what lies far enough before a reading time up to which the site is known; `newest`: readings of each station. */
  settle(plant: Plant, raw: RawTracks, newest: readonly number[], known: number): void {
    const settled = settleSilences(plant, () => raw(this.neededFrom), newest, known, this.#settled);
    if (settled === this.#settled) return;
    this.#settled = settled;
    this.#isStale = true;
  }

  flush(states: Pick<CheckpointStore, 'put' | 'delete'>): void {
    if (!this.#isStale) return;
    this.#isStale = false;
    if (this.#settled === null) states.delete(KEY);
    else states.put(KEY, packState(this.#settled));
  }
}
