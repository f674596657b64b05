import type { Channel, Plant, RunField, RunTable } from '../collector/contract/index.ts';
import type { ClockFact, RangeFact } from '../collector/index.ts';
import type { StationFact } from './site.ts';

const HOUR_MS = 3_600_000;

/** Fewer impossible times within an hour are junk of a line, not a clock. Source: own choice. */
const LEAST_TIMES = 5;

/** Where a run keeps what a channel showed. */
const RUN_FIELD: Partial<Record<Channel, RunField>> = {
  'conveying/flow': 'conveyingFlow',
  'conveying/pressure': 'conveyingPressure',
  'conveying/ripple': 'ripple',
  'supplementary/flow': 'supplementaryFlow',
  'supplementary/pressure': 'supplementaryPressure',
  'fluidizing/flow': 'fluidizingFlow',
  'fluidizing/pressure': 'fluidizingPressure',
  'supply/pressure': 'supplyPressure',
  'powder/output': 'output',
  'powder/mass': 'massStart',
};

/** What reading found of a site's sensors and clocks beside the readings themselves. */
export interface FoundByReading {
  readonly rangeFacts: readonly RangeFact[];
  readonly clockFacts: readonly ClockFact[];
}

/** A station with its readings as far as stage one has come. */
export interface ReadStation {
  readonly id: string;
  readonly firstTime: number;
  readonly lastTime: number;
  /** Runs that start within [from, to), or a table that holds them. */
  readonly runsIn: (from: number, to: number) => RunTable;
}

/**
 * The same as facts about one station, each noticed at the end of the hour whose readings show it.
 *
 * A sensor whose plant file says that it measures from 0 sends values a little below 0 when nothing flows: these
 * are unusable readings, but no fault, as long as spraying is measured well.
 */
export function readingFacts(found: FoundByReading, station: ReadStation, plant: Plant): StationFact[] {
  const facts: StationFact[] = [];
  const noticed = (hour: number): number => Math.max(station.firstTime, Math.min(station.lastTime, hour + HOUR_MS));
  for (const { station: id, channel, time, count } of found.rangeFacts) {
    if (
      id !== station.id ||
      (startsAtZero(plant, id, channel) && measuresRuns(station.runsIn(time, time + HOUR_MS), channel, time))
    )
      continue;
    facts.push({ kind: 'range', station: id, channel, time: noticed(time), count });
  }
  for (const { station: id, time, count, found: first } of found.clockFacts) {
    if (id !== station.id || count < LEAST_TIMES || first === null) continue;
    const near = time ?? station.firstTime;
    facts.push({
      kind: 'clock',
      station: id,
      time: noticed(near),
      offsetMs: first - near,
      detail: `${count} readings within an hour with an impossible time, the first ${new Date(first).toISOString()}`,
    });
  }
  return facts;
}

function startsAtZero(plant: Plant, station: string, channel: Channel): boolean {
  const entry = [...plant.guns, ...plant.air].find(({ id }) => id === station);
  const range = entry?.channels?.[channel]?.range;
  return range !== undefined && range[0] > -0.1;
}

/** True when most runs of an hour have a value of the channel, or when there are none. */
function measuresRuns({ columns, length }: RunTable, channel: Channel, hour: number): boolean {
  const field = RUN_FIELD[channel];
  let runs = 0;
  let measured = 0;
  for (let row = 0; row < length; row++) {
    const start = columns.start[row]!;
    if (start < hour || start >= hour + HOUR_MS || columns.samples[row] === 0) continue;
    runs++;
    if (field !== undefined && !Number.isNaN(columns[field][row]!)) measured++;
  }
  return runs === 0 || measured * 2 >= runs;
}
