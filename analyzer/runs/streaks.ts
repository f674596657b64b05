import type { Channel } from '../../collector/contract/index.ts';
import type { StationFact } from '../site.ts';
import {
  FLOW,
  FLUIDIZING_FLOW,
  FLUIDIZING_PRESSURE,
  MASS,
  OUTPUT,
  PRESSURE,
  PULL_CHANNELS,
  SUPPLEMENTARY_FLOW,
  SUPPLEMENTARY_PRESSURE,
} from './pull-channels.ts';

/** Channels that are watched for getting stuck. A set output and names may stand still for as long as they like. */
export const WATCHED = [
  ...PULL_CHANNELS,
  'supply/temperature',
  'supply/dewpoint',
] as const satisfies readonly Channel[];

/** Channels that air or the trigger swings between two levels, and the partner that must move for them to have to. */
export const PARTNER = [
  PRESSURE,
  FLOW,
  -1,
  SUPPLEMENTARY_PRESSURE,
  SUPPLEMENTARY_FLOW,
  FLUIDIZING_PRESSURE,
  FLUIDIZING_FLOW,
];
const SWINGS = [true, true, false, true, true, false, false];

/** How long each watched channel has kept its value. Counts are of readings. */
export interface Streaks {
  readonly last: Float64Array;
  readonly since: Float64Array;
  readonly idle: Float64Array;
  readonly spraying: Float64Array;
  /** Longest streak that was not called stuck, and readings and changes so far. */
  readonly longest: Float64Array;
  readonly readings: Float64Array;
  readonly changes: Float64Array;
  /** At the streak's start: switches of spraying, changes of all channels and of the partner. */
  readonly switchesAt: Float64Array;
  readonly changesAt: Float64Array;
  readonly partnerAt: Float64Array;
  allChanges: number;
  /** Readings of conveying pressure that changed and were pressing air through, so far and when the flow's streak began. */
  pressed: number;
  pressedAt: number;
  /** Place of the open stuck fact in the station's facts, or -1. */
  readonly fact: Float64Array;
}

/** Streaks of a station of which nothing has been read. */
export function startStreaks(): Streaks {
  const zeros = (): Float64Array => new Float64Array(WATCHED.length);
  return {
    last: zeros().fill(Number.NaN),
    since: zeros(),
    idle: zeros(),
    spraying: zeros(),
    longest: zeros(),
    readings: zeros(),
    changes: zeros(),
    switchesAt: zeros(),
    changesAt: zeros(),
    partnerAt: zeros(),
    allChanges: 0,
    pressed: 0,
    pressedAt: 0,
    fact: zeros().fill(-1),
  };
}

/** What the verdict on streaks needs to know of the station beside them. */
export interface StreakContext {
  readonly station: string;
  readonly isGun: boolean;
  readonly outputMeasured: boolean;
}

/**
 * Adds a stuck fact for every channel whose streak cannot be chance. Called now and then, not per reading.
 *
 * @param switched changes between spraying and idle so far
 */
export function judgeStreaks(
  streaks: Streaks,
  context: StreakContext,
  switched: number,
  time: number,
  facts: StationFact[],
): void {
  for (let channel = 0; channel < WATCHED.length; channel++) {
    if (streaks.fact[channel]! >= 0) continue;
    const frozen = context.isGun && channel === FLOW && isFrozen(streaks, time);
    if (!frozen && !isStuck(streaks, channel, time, switched, context)) continue;
    streaks.fact[channel] = facts.length;
    facts.push({
      kind: 'stuck',
      station: context.station,
      channel: WATCHED[channel]!,
      time: streaks.since[channel]!,
      noticed: time,
      until: null,
      ...(frozen ? { detail: FROZEN.words } : {}),
    });
  }
}

/** Spraying without a pause and with no reading that moved for so long, ms and readings. Source: own choice, far beyond any pull; readings of a moving air are never all alike. */
const FROZEN = {
  ms: 2 * 3_600_000,
  readings: 200,
  words:
    'no reading of this gun has moved for two hours of spraying without a pause: its node sends the same again and again',
} as const;

/** A node that sends its last readings for ever, from the midst of a pull. */
function isFrozen(streaks: Streaks, time: number): boolean {
  if (time - streaks.since[FLOW]! < FROZEN.ms || streaks.spraying[FLOW]! < FROZEN.readings) return false;
  if (streaks.idle[FLOW]! > 0 || !(streaks.last[FLOW]! > ALONE.flowNm3h)) return false;
  // Those that came with the flow's last reading have moved once since.
  return streaks.allChanges - streaks.changesAt[FLOW]! < WATCHED.length;
}

/**
 * A flow that stands while its pressure moves is stuck also where no trigger tells of pauses: nobody sprays for so long without one.
 * Swinging channels are stuck after six pulls and pauses with one value while their partner moved. Others
 * must first have shown that they move: 500 readings, and then a streak of six times their longest so far.
 * Source: own choice; a quantised sensor may repeat its value for long, so a channel is measured by its own past.
 */
function isStuck(streaks: Streaks, channel: number, time: number, switched: number, context: StreakContext): boolean {
  const length = streaks.idle[channel]! + streaks.spraying[channel]!;
  const switches = switched - streaks.switchesAt[channel]!;
  const moved = streaks.allChanges - streaks.changesAt[channel]!;
  if (context.isGun && standsAlone(streaks, channel, time, length)) return true;
  if (length < 30 || moved < 30 || (context.isGun && switches < 12)) return false;
  const partner = PARTNER[channel] ?? -1;
  if (SWINGS[channel] && streaks.idle[channel]! >= 5 && streaks.spraying[channel]! >= 5)
    return partner >= 0 && streaks.changes[partner]! - streaks.partnerAt[channel]! >= 12;
  if (channel === OUTPUT) {
    if (!context.outputMeasured) return false;
    if (readsNothing(streaks, time, switches)) return true;
  }
  if (channel === MASS && streaks.spraying[channel]! < 150) return false;
  if (!context.isGun && Math.abs(streaks.last[channel]!) < 0.05) return false;
  return (
    time - streaks.since[channel]! >= 30 * 60_000 &&
    streaks.readings[channel]! - length >= 500 &&
    streaks.changes[channel]! >= 100 &&
    length >= Math.max(60, 6 * streaks.longest[channel]!)
  );
}

/**
 * Pulls and pauses, and time, through which a measured output may read nothing, below so much, g/min. Source: own choice: a line is blown clean with no powder,
 * or a box stands empty, for some pulls, and not for sixty over two hours.
 */
const THROUGHOUT = { switches: 120, ms: 2 * 3_600_000, readings: 60, gmin: 1 };

/** A meter that reads no powder whatever is sprayed. One value above that may be a set one of which the plant file does not say so. */
function readsNothing({ last, idle, spraying, since }: Streaks, time: number, switches: number): boolean {
  const { readings, ms } = THROUGHOUT;
  return (
    Math.abs(last[OUTPUT]!) < THROUGHOUT.gmin &&
    switches >= THROUGHOUT.switches &&
    time - since[OUTPUT]! >= ms &&
    idle[OUTPUT]! >= readings &&
    spraying[OUTPUT]! >= readings
  );
}

/**
 * Spraying without a pause for so long, ms and readings, with so many changes of the partner, and the flow from which air flows at all, m3/h.
 * Source: own choice, three times the longest pulls.
 */
const ALONE = { ms: 45 * 60_000, readings: 200, changes: 100, flowNm3h: 0.2 };

/** Conveying pressure at which some air must flow, bar. Source: own choice, the least that spraying guns are set to, handbook section 1, less a margin. */
export const PRESSED_BAR = 0.25;

/** A flow that stands while nobody is seen to spray: above none all the time, or at none while pressure comes and goes that must press air through. */
function standsAlone(streaks: Streaks, channel: number, time: number, length: number): boolean {
  if (channel !== FLOW || length < ALONE.readings || time - streaks.since[channel]! < ALONE.ms) return false;
  if (streaks.last[channel]! > ALONE.flowNm3h)
    return streaks.idle[channel] === 0 && streaks.changes[PRESSURE]! - streaks.partnerAt[channel]! >= ALONE.changes;
  return streaks.spraying[channel] === 0 && streaks.pressed - streaks.pressedAt >= ALONE.changes;
}
