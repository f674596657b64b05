import type { Plant } from '../../collector/contract/index.ts';
import type { StationFact, Track } from '../site.ts';
import { clockShifts } from './clock-shift.ts';
import { MISSING_MS, missingSpans } from './missing-data.ts';
import type { SettledSilences } from './settled-silences.ts';
import { noticedAt } from './track.ts';

/**
 * Tracks of a whole site as stage two takes them: of the silences only those remain that are worth a finding, each
 * beginning 30 minutes before it is, and clocks that are off against those of the other guns are added.
 *
 * @param settled what silences before a time came to, where the tracks have only later ones
 */
export function siteTracks(
  plant: Plant,
  tracks: ReadonlyMap<string, Track>,
  settled: SettledSilences | null = null,
): Map<string, Track> {
  const missing = new Map<string, StationFact[]>();
  for (const { station, raised, cleared } of missingSpans(plant, tracks, settled?.missing)) {
    const facts = missing.get(station) ?? [];
    facts.push({ kind: 'silence', station, time: raised - MISSING_MS, until: cleared });
    missing.set(station, facts);
  }
  const shifts = clockShifts(plant, tracks, settled?.shifts);
  const result = new Map<string, Track>();
  for (const [station, track] of tracks) {
    const others = track.facts.filter(({ kind }) => kind !== 'silence');
    const facts = [...others, ...(missing.get(station) ?? []), ...(shifts.get(station) ?? [])].sort(
      (a, b) => noticedAt(a) - noticedAt(b),
    );
    result.set(station, { ...track, facts });
  }
  return result;
}
