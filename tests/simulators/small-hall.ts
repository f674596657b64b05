import type { Frames } from '../../collector/contract/frames.ts';
import { buildHall, type GivenStory } from '../../simulators/scenarios/build-hall.ts';
import type { Hall } from '../../simulators/scenarios/hall.ts';
import { PLAIN_HALL, type Scenario } from '../../simulators/scenarios/scenario.ts';
import { runHall } from '../../simulators/simulation.ts';

/** A hall of two guns for three weeks, all channels, 4 s; nothing lost on the way. */
export const SMALL: Scenario = {
  ...PLAIN_HALL,
  name: 'small',
  summary: 'for tests',
  weeks: 3,
  guns: 2,
  // Two guns as unlike as guns of all makes: what holds for them holds for pumps of one make, too.
  gunSpread: 1,
  intervalS: [4],
  fleet: [
    { output: 'measured', fitting: 'all' },
    { output: 'scale', fitting: 'all' },
  ],
  transport: { lost: 0, twice: 0, late: 0 },
};

/** Runs a hall to its end and gathers what each station's node read. */
export function runAll(hall: Hall): Map<string, Frames[]> {
  const stations = new Map<string, Frames[]>();
  for (const { sent } of runHall(hall))
    for (const { frames } of sent) {
      if (frames.times.length === 0) continue;
      stations.set(frames.station, [...(stations.get(frames.station) ?? []), frames]);
    }
  return stations;
}

export function smallHall(changes: Partial<Scenario> = {}, seed = 1, given: GivenStory = {}): Hall {
  return buildHall({ ...SMALL, ...changes }, seed, given);
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((left, right) => left - right);
  return sorted[Math.floor(sorted.length / 2)]!;
}
