import type { CommitOutcome } from '../store/store.ts';
import type { StationCommitted } from './collector.ts';

/** What a commit brought, by station, with the receiver's clock: written out, because a spread takes many times as long. */
export function committedStations({ stations }: CommitOutcome, receivedAt: number): StationCommitted[] {
  return stations.map(({ station, minTime, maxTime, readings }) => ({
    station,
    minTime,
    maxTime,
    readings,
    receivedAt,
  }));
}
