import type { StationFact } from '../site.ts';
import { FLOW, OUTPUT } from './pull-channels.ts';
import { type Streaks, WATCHED } from './streaks.ts';

/**
 * Which channels of a gun used to be read and are no more, by looks at them after each pull and each piece of a long one.
 * A cable that broke says nothing at all: without these the gun would go on unjudged and unheard of.
 */
export interface Absences {
  /** Readings of each watched channel by the last look, and looks that found some. */
  readonly seen: Float64Array;
  readonly found: Float64Array;
  /** Looks in a row that found none, the longest such row that ended, and the time of the last look before it. */
  readonly missed: Float64Array;
  readonly longest: Float64Array;
  readonly since: Float64Array;
  /** Readings of the pressure that pressed air through, by the last look. */
  pressed: number;
  /** Place of the open fact in the station's facts, or -1. */
  readonly fact: Float64Array;
}

/** Absences of a station of which nothing has been read. */
export function startAbsences(): Absences {
  const zeros = (): Float64Array => new Float64Array(WATCHED.length);
  return {
    seen: zeros(),
    found: zeros(),
    missed: zeros(),
    longest: zeros(),
    since: zeros(),
    pressed: 0,
    fact: zeros().fill(-1),
  };
}

/** What the verdict on absences needs to know of the station beside its readings. */
export interface AbsenceContext {
  readonly station: string;
  readonly isGun: boolean;
  readonly outputSet: boolean;
  /** Places in WATCHED of the channels that the plant file says are fitted. */
  readonly fitted: ReadonlySet<number>;
}

/**
 * What a channel must have shown before, and how long it must have been away since: readings, looks, so many times its longest absence, ms. Source: own choice: a
 * node that reports changes alone keeps a channel back for as long as it stands still, and a plug is out for an hour while somebody works on the gun.
 */
const USED = { readings: 500, looks: 60 };
const AWAY = { looks: 60, timesLongest: 6, ms: 2 * 3_600_000 };

/**
 * Looks which channels have been read since the last look.
 *
 * @param sprayed a pull or a piece of one has ended; otherwise the flow alone is looked for, which would tell of pulls where no trigger does
 */
export function lookForAbsences(
  absences: Absences,
  streaks: Streaks,
  context: AbsenceContext,
  sprayed: boolean,
  time: number,
  facts: StationFact[],
): void {
  if (!context.isGun) return;
  const pressing = streaks.pressed > absences.pressed;
  absences.pressed = streaks.pressed;
  for (let channel = 0; channel < WATCHED.length; channel++) {
    if (streaks.readings[channel]! > absences.seen[channel]!) isRead(absences, streaks, channel, time, facts);
    // A set value is told when it is set.
    else if ((sprayed || (channel === FLOW && pressing)) && !(channel === OUTPUT && context.outputSet))
      isMissed(absences, context, channel, time, facts);
  }
}

function isRead(absences: Absences, streaks: Streaks, channel: number, time: number, facts: StationFact[]): void {
  const { fact, seen, missed, longest } = absences;
  if (fact[channel]! >= 0) {
    facts[fact[channel]!] = { ...(facts[fact[channel]!] as StationFact & { kind: 'absent' }), until: time };
    fact[channel] = -1;
  } else if (seen[channel]! > 0 && missed[channel]! > longest[channel]!) longest[channel] = missed[channel]!;
  seen[channel] = streaks.readings[channel]!;
  absences.found[channel]! += 1;
  absences.since[channel] = time;
  missed[channel] = 0;
}

function isMissed(
  absences: Absences,
  context: AbsenceContext,
  channel: number,
  time: number,
  facts: StationFact[],
): void {
  const { fact, seen, found, missed, since } = absences;
  if (fact[channel]! >= 0) return;
  const never = seen[channel] === 0;
  if (never && missed[channel] === 0) since[channel] = time;
  missed[channel]! += 1;
  const used = never ? context.fitted.has(channel) : seen[channel]! >= USED.readings && found[channel]! >= USED.looks;
  if (!used || missed[channel]! < Math.max(AWAY.looks, AWAY.timesLongest * absences.longest[channel]!)) return;
  if (time - since[channel]! < AWAY.ms) return;
  fact[channel] = facts.length;
  facts.push({
    kind: 'absent',
    station: context.station,
    channel: WATCHED[channel]!,
    time: since[channel]!,
    noticed: time,
    until: null,
    never,
  });
}
