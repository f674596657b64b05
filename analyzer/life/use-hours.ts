import { powderAt, type RunTable } from '../../collector/contract/index.ts';
import { LEAST_KNOWN } from '../upkeep/usage.ts';

const HOUR_MS = 3_600_000;

/** What a gun sprayed of one powder within one hour. */
export interface UseHour {
  /** Begin of the hour, epoch ms. */
  readonly time: number;
  readonly powder: string;
  sprayHours: number;
  kilograms: number;
  /** Spray hours of these whose powder output is not known. */
  unweighed: number;
}

/** What went through a part between two times. */
export interface Use {
  readonly sprayHours: number;
  /** Null where most of the spraying was without a known output; else the unknown part is filled in at the known rate. */
  readonly kilograms: number | null;
  /** Spray hours by powder id; '' where the powder is not known. */
  readonly byPowder: Readonly<Record<string, number>>;
}

/**
 * Sums spray runs by hour and powder: what life statistics, stock and costs need of months of runs. Calendar time is in none of it.
 *
 * @param table runs of one gun; output in g/min; where there is none, the fall of the scale under the powder box in kg
 * @returns ascending by time
 */
export function useHours(table: RunTable): UseHour[] {
  const { length, columns } = table;
  const hours: UseHour[] = [];
  let open: UseHour[] = [];
  for (let row = 0; row < length; row++) {
    const time = Math.floor(columns.start[row]! / HOUR_MS) * HOUR_MS;
    const powder = powderAt(table, row);
    if (open[0]?.time !== time) open = [];
    let hour = open.find((one) => one.powder === powder);
    if (hour === undefined) {
      hour = { time, powder, sprayHours: 0, kilograms: 0, unweighed: 0 };
      open.push(hour);
      hours.push(hour);
    }
    const sprayed = columns.sprayMs[row]! / HOUR_MS;
    const output = columns.output[row]!;
    const fall = columns.massStart[row]! - columns.massEnd[row]!;
    hour.sprayHours += sprayed;
    if (Number.isFinite(output)) hour.kilograms += (Math.max(output, 0) * 60 * sprayed) / 1000;
    else if (fall >= 0) hour.kilograms += fall;
    else hour.unweighed += sprayed;
  }
  return hours;
}

/**
 * Use between two times; an hour that is cut counts by the share of it that lies within.
 *
 * @param hours ascending by time, from `useHours`
 * @param from, to epoch ms
 * @example
 * useBetween([{ time: 0, powder: 'p', sprayHours: 0.4, kilograms: 4, unweighed: 0 }], 1_800_000, 7_200_000); // { sprayHours: 0.2, kilograms: 2, byPowder: { p: 0.2 } }
 */
export function useBetween(hours: readonly UseHour[], from: number, to: number): Use {
  let sprayHours = 0;
  let kilograms = 0;
  let unweighed = 0;
  const byPowder: Record<string, number> = {};
  for (const hour of hours) {
    const share = (Math.min(to, hour.time + HOUR_MS) - Math.max(from, hour.time)) / HOUR_MS;
    if (share <= 0) continue;
    const within = Math.min(1, share);
    sprayHours += within * hour.sprayHours;
    kilograms += within * hour.kilograms;
    unweighed += within * hour.unweighed;
    byPowder[hour.powder] = (byPowder[hour.powder] ?? 0) + within * hour.sprayHours;
  }
  const known = sprayHours === 0 ? 1 : 1 - unweighed / sprayHours;
  return { sprayHours, kilograms: known < LEAST_KNOWN ? null : kilograms / (known || 1), byPowder };
}
