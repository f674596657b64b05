import type { ClockFact, RangeFact } from '../collector/index.ts';
import type { StationFact } from './site.ts';

const HOUR_MS = 3_600_000;

/** Fewer impossible times within an hour are junk of a line, not a clock. Source: own choice. */
const LEAST_TIMES = 5;

/** What reading found of a site's sensors and clocks beside the readings themselves. */
export interface FoundByReading {
  readonly rangeFacts: readonly RangeFact[];
  readonly clockFacts: readonly ClockFact[];
}

/** The same as facts about one station. A clock is noticed at the end of the hour whose readings show it. */
export function readingFacts(
  found: FoundByReading,
  station: { readonly id: string; readonly firstTime: number; readonly lastTime: number },
): StationFact[] {
  const facts: StationFact[] = [];
  for (const { station: id, channel, time, count } of found.rangeFacts)
    if (id === station.id) facts.push({ kind: 'range', station: id, channel, time, count });
  for (const { station: id, time, count, found: first } of found.clockFacts) {
    if (id !== station.id || count < LEAST_TIMES || first === null) continue;
    const near = time ?? station.firstTime;
    facts.push({
      kind: 'clock',
      station: id,
      time: Math.max(station.firstTime, Math.min(station.lastTime, near + HOUR_MS)),
      offsetMs: first - near,
      detail: `${count} readings within an hour with an impossible time, the first ${new Date(first).toISOString()}`,
    });
  }
  return facts;
}
