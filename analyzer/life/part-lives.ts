import { isPartId, type LogEntry, type PartId } from '../../collector/contract/index.ts';
import { type UseHour, useBetween } from './use-hours.ts';

/** How a life ended: by what was found on the part, or not yet. */
export type LifeEnd = 'worn' | 'failed' | 'good' | 'not looked at' | 'in use';

/** One part on one gun, from its fitting to its end. */
export interface PartLife {
  readonly gun: string;
  readonly part: PartId;
  /** Fitted and ended, epoch ms; a life in use ends at the last look. */
  readonly from: number;
  readonly to: number;
  readonly end: LifeEnd;
  readonly sprayHours: number;
  /** Powder that went through; null where it is not known. */
  readonly kilograms: number | null;
  /** Family of the powders that it mostly sprayed; `mixed` where none made up two thirds. */
  readonly family: string;
}

/** Lives that can be reckoned with, and how many cannot, by why. */
export interface PartLives {
  readonly lives: readonly PartLife[];
  readonly left: Readonly<Record<LeftOut, number>>;
}

/** `no start`: fitted before the log begins. `no readings`: fitted before the first reading. `not used`: nothing sprayed. */
export type LeftOut = 'no start' | 'no readings' | 'not used';

/** Share of spray hours that makes a powder family the one of a life. Source: own choice, because a third of another powder can halve a life. */
const MOSTLY = 2 / 3;
export const MIXED = 'mixed';
export const UNNAMED = 'family not named';

/** True where a life's end is the end of the part, and not only of our looking. */
export function hasFailed({ end }: Pick<PartLife, 'end'>): boolean {
  return end === 'worn' || end === 'failed';
}

/**
 * Lives of the parts on one gun, from its log and what it sprayed.
 *
 * A life begins with a logged change. It ends when the part is found worn or failed, at the change or at an inspection before it; a
 * part that was changed while good, or not looked at, or is still in use, was good for at least so long (right censored).
 *
 * @param log entries of this gun that count, ascending by time
 * @param hours what it sprayed, ascending
 * @param familyOf powder id to its family; '' is a powder that is not known
 * @param now the last look, epoch ms
 */
export function partLives(
  gun: string,
  log: readonly LogEntry[],
  hours: readonly UseHour[],
  familyOf: (powder: string) => string,
  now: number,
): PartLives {
  const lives: PartLife[] = [];
  const left: Record<LeftOut, number> = { 'no start': 0, 'no readings': 0, 'not used': 0 };
  const firstReading = hours[0]?.time ?? Number.POSITIVE_INFINITY;
  const close = (part: PartId, from: number | null, to: number, end: LifeEnd): void => {
    if (from === null) {
      left['no start']++;
      return;
    }
    if (from < firstReading) {
      left['no readings']++;
      return;
    }
    const { sprayHours, kilograms, byPowder } = useBetween(hours, from, to);
    if (sprayHours <= 0) {
      // A part fitted a moment ago has not begun to live; it is not worth a word.
      if (end !== 'in use') left['not used']++;
      return;
    }
    lives.push({ gun, part, from, to, end, sprayHours, kilograms, family: familyIn(byPowder, familyOf) });
  };
  const fitted = new Map<PartId, { from: number | null; ended: boolean }>();
  for (const { time, part, action, found } of log) {
    if (!isPartId(part) || time > now) continue;
    const before = fitted.get(part) ?? { from: null, ended: false };
    if (action === 'replaced') {
      if (!before.ended) close(part, before.from, time, found ?? 'not looked at');
      fitted.set(part, { from: time, ended: false });
    } else if (action === 'inspected' && (found === 'worn' || found === 'failed') && !before.ended) {
      close(part, before.from, time, found);
      fitted.set(part, { ...before, ended: true });
    }
  }
  for (const [part, { from, ended }] of fitted) if (!ended && from !== null) close(part, from, now, 'in use');
  return { lives, left };
}

function familyIn(byPowder: Readonly<Record<string, number>>, familyOf: (powder: string) => string): string {
  const families = new Map<string, number>();
  let total = 0;
  for (const [powder, hours] of Object.entries(byPowder)) {
    const family = familyOf(powder);
    families.set(family, (families.get(family) ?? 0) + hours);
    total += hours;
  }
  return [...families].find(([, hours]) => hours >= MOSTLY * total)?.[0] ?? MIXED;
}
