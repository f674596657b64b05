/** What was asked of a gun with a set output, and the air that it had. */
export interface Asked {
  readonly powder: string;
  /** ln of the set output, g/min. */
  readonly output: number;
  /** ln of the conveying pressure, bar absolute, or of the flow, m3/h, where no pressure is read. */
  readonly air: number;
  /** Pulls behind it, and the end of the last, epoch ms. */
  readonly runs: number;
  readonly time: number;
}

/**
 * What tells that a regulator stands at its stop behind a set output. People set more air for a recipe or powder that needs more; at the stop they
 * cannot, and recipes that need different air all read the same. The set output shows what they ask and not what comes out, so it looks like a pump that
 * gives more for its air. Plain data: part of the pipeline's state.
 */
export interface RegulatorStop {
  /** How often at this gun another need followed, and how often it had the same air all the same: some set it seldom, or read it coarsely. */
  changes: number;
  alike: number;
  last: Asked | null;
  /** Recipes met at one air lately, the first that differed from the one before it at its end, and ln odds that this is a stop. */
  at: Asked[];
  air: number;
  odds: number;
  /** When that air was read last, epoch ms. */
  met: number;
}

export function newRegulatorStop(): RegulatorStop {
  return { changes: 0, alike: 0, last: null, at: [], air: 0, odds: 0, met: 0 };
}

/** Air that counts as the same, ln. Source: own choice: blocks at one setting read alike to 0.1 or 0.2 %, notches are ten times as far apart. */
const SAME = 0.006;
/** Below the stop by so little (ln) a block still has pulls of before someone turned to the stop. Source: own choice, half a notch. */
const NEARLY = 0.02;
/** ln of set outputs from which they are two recipes. Source: own choice, far above rounding. */
const OTHER_RECIPE = 0.03;
/** Share of other needs that have the same air at a stop: the rest are still below it. Source: own choice. */
const AT_STOP = 0.8;
/**
 * Changes of need that a gun's past is reckoned from, at most and at least; what is taken for granted beside them (one in four had the same air), and the least share that
 * had: what two recipes are set to stays for days. Source: own choice, some weeks and some days of work; so that no two recipes alone make a stop.
 */
const PAST = { most: 200, fewest: 10, alike: 1, changes: 4, least: 0.03 };
/** ln odds from which what is read at that air waits, and from which it is called a stop. Source: own choice, 5 to 1 and 100 to 1. */
const DOUBTED = Math.log(5);
const SURE = Math.log(100);
/** A doubt to which nothing was added for so long is none, and a stop that nobody met for so long is over. Source: own choice, a day and a week. */
const DOUBT_MS = 24 * 3_600_000;
const UNMET_MS = 7 * DOUBT_MS;
/** Pulls from which a block's air is that of its recipe, and not of someone on his way there. Source: own choice. */
const STEADY_RUNS = 5;
/** Recipes that are remembered of one stop. Source: own choice. */
const MOST = 12;

/** True while the gun's regulator is believed to have stood at its stop lately: recipes that need less are below it. */
function isSure({ at, odds }: RegulatorStop): boolean {
  return at.length > 0 && odds >= SURE;
}

/** True where the air that was read last is believed to be all that the gun's regulator gives. */
export function isAtStop(stop: RegulatorStop): boolean {
  return isSure(stop) && stop.last !== null && isNear(stop, stop.last);
}

function isNear({ air }: RegulatorStop, asked: Asked): boolean {
  return Math.abs(air - asked.air) < NEARLY;
}

/** True where two recipes need different air beyond doubt. */
type Differ = (one: Asked, other: Asked) => boolean;

/**
 * Follows what is asked and the air that it gets.
 *
 * @returns whether this is the air of a regulator at its stop: then the set output says no more than that at least this air is needed
 */
export function followStop(stop: RegulatorStop, asked: Asked, differ: Differ): boolean {
  const { last } = stop;
  if (stop.at.length > 0 && isOver(stop, asked.time)) end(stop);
  if (asked.runs < STEADY_RUNS) return stop.odds >= DOUBTED && isNear(stop, asked);
  stop.last = asked;
  if (stop.at.length > 0) {
    if (asked.air <= stop.air + SAME) return meet(stop, asked, differ);
    end(stop);
  }
  if (last === null || !differ(last, asked)) return false;
  if (Math.abs(asked.air - last.air) > SAME) {
    count(stop, 1, 0);
    return false;
  }
  stop.at = [last, asked];
  stop.air = (last.air + asked.air) / 2;
  stop.met = asked.time;
  stop.odds = says(stop);
  return stop.odds >= DOUBTED;
}

/** Takes in a block while recipes of different need have met at one air. */
function meet(stop: RegulatorStop, asked: Asked, differ: Differ): boolean {
  // Less air is less need, or not there yet.
  if (stop.air - asked.air > SAME) return isSure(stop) && isNear(stop, asked);
  stop.met = asked.time;
  if (!stop.at.some((one) => isSameRecipe(one, asked))) {
    if (differ(stop.at.at(-1)!, asked)) stop.odds += says(stop);
    if (stop.at.length < MOST) stop.at.push(asked);
  }
  return stop.odds >= DOUBTED;
}

/** True of what nothing speaks for any more. */
function isOver(stop: RegulatorStop, now: number): boolean {
  return isSure(stop) ? now - stop.met > UNMET_MS : now - stop.at.at(-1)!.time > DOUBT_MS;
}

/** What one more need at the same air adds to the ln odds of a stop, at a gun of this past. */
function says({ alike, changes }: RegulatorStop): number {
  if (changes < PAST.fewest) return 0;
  return Math.log(AT_STOP / Math.max((alike + PAST.alike) / (changes + PAST.changes), PAST.least));
}

/** What was no stop was chance, or this gun's habit, and counts as such. */
function end(stop: RegulatorStop): void {
  if (!isSure(stop)) count(stop, stop.at.length - 1, stop.at.length - 1);
  stop.at = [];
  stop.odds = 0;
}

function count(stop: RegulatorStop, changes: number, alike: number): void {
  const keep = stop.changes > PAST.most ? 1 - 1 / PAST.most : 1;
  stop.changes = keep * stop.changes + changes;
  stop.alike = keep * stop.alike + alike;
}

function isSameRecipe(one: Asked, other: Asked): boolean {
  return one.powder === other.powder && Math.abs(one.output - other.output) < OTHER_RECIPE;
}
