import { type SprayClock, sprayHoursBetween } from '../replay/spray-clock.ts';
import type { JudgedFinding } from './judge-finding.ts';
import type { DuePart } from './statements.ts';

/** How a worn part was told of. */
export type Told = 'in-time' | 'late' | 'missed';

export interface JudgedDue extends DuePart {
  readonly told: Told;
  /** Spray hours from the finding to the day it was found; 0 when it was missed. */
  readonly leadSprayHours: number;
  /** Spray hours that were wanted. */
  readonly wantedSprayHours: number;
  /** Epoch ms; null when it was missed. */
  readonly raised: number | null;
  /** Another cause that was named instead while it was missed; null when there was none. */
  readonly namedAs: string | null;
}

/** Parts that the air never shows: they live by hours, kilograms and inspection. Source: handbook, because no channel carries them. */
const UNSEEN_PARTS: ReadonlySet<string> = new Set(['nozzle', 'electrode-holder']);

/** True for a part that findings can tell of. */
export function isSeenInAir({ part }: Pick<DuePart, 'part'>): boolean {
  return !UNSEEN_PARTS.has(part) && !part.startsWith('sensor:');
}

/**
 * Judges how a part that was found worn had been told of: in time is a finding on it that was raised at least the wanted
 * spray hours before and was open when the part was found.
 *
 * @param wantedSprayHours notice wanted, in spray hours
 */
export function judgeDue(
  due: DuePart,
  findings: readonly JudgedFinding[],
  clock: SprayClock | undefined,
  wantedSprayHours: number,
): JudgedDue {
  const then = findings.filter(
    ({ finding, raised, cleared }) =>
      finding.gun === due.gun && raised <= due.time && (cleared === null || cleared >= due.time),
  );
  const own = then.filter(({ finding }) => finding.cause === due.part);
  const base = { ...due, wantedSprayHours };
  if (own.length === 0)
    return { ...base, told: 'missed', leadSprayHours: 0, raised: null, namedAs: then[0]?.finding.cause ?? null };
  const raised = Math.min(...own.map((finding) => finding.raised));
  const leadSprayHours = clock === undefined ? 0 : sprayHoursBetween(clock, raised, due.time);
  const told = leadSprayHours >= wantedSprayHours ? 'in-time' : 'late';
  return { ...base, told, leadSprayHours, raised, namedAs: null };
}
