import type { Plant } from '../../collector/contract/index.ts';
import type { StationFact, Track } from '../site.ts';

const MINUTE_MS = 60_000;

/** A silence from this length on parts two working days or shifts, ms. Source: own choice. */
const NIGHT_MS = 2 * 60 * MINUTE_MS;

/** Guns are compared with others that come or go within this time, ms. Source: own choice: a time zone or two, and less than a shift. */
const NEAR_MS = 4 * 60 * MINUTE_MS;

/** People, too, work some hours later or earlier than others, but in a hall that is on: a clock that is off by more has to tell of hours in which it was not, ms. Source: own choice. */
const HOURS_MS = 90 * MINUTE_MS;

/** The others must agree to this, and a clock must be off by more than that, ms. Source: own choice: halls are switched as one. */
const AGREE_MS = 2 * MINUTE_MS;
const LEAST_MS = 4 * MINUTE_MS;

/** Share of the other guns that must come or go with the hall before one is compared with them. */
const QUORUM = 0.6;

/**
 * Comings, and likewise goings, that teach what is usual for a gun: so many of the latest must agree, else the gun's
 * people come and go as they like and nothing can be told. Source: own choice: a working week.
 */
const USUAL_FROM = 5;

interface Crossing {
  readonly comes: boolean;
  readonly time: number;
}

/** What a coming or going was off by, ms, and whether no other gun was there meanwhile. */
interface Off {
  readonly byMs: number;
  readonly alone: boolean;
}

/** What the comings and goings of a gun have taught: the last ones, against the others, ms, and what the last was off by. */
interface Usual {
  readonly comes: number[];
  readonly goes: number[];
  before: Off | null;
}

/** How far the working days of a site were gone through, so that the rest can be gone through without what came before. Plain data. */
export interface ShiftState {
  /** Comings and goings before this time are in, epoch ms. */
  readonly before: number;
  readonly guns: Readonly<Record<string, Usual>>;
}

/**
 * Finds clocks that have come to be off from when a gun's working day begins and ends: a hall's guns are switched on
 * and off as one, and a gun that does both later, or earlier, by the same time has another clock than before.
 *
 * @param tracks with all silences of 30 minutes and more, at least those that were over two hours before `since`
 * @param since where an earlier walk came to: what was before taught what is usual, and is told no more
 * @returns facts by station, each noticed when the second crossing shows it
 */
export function clockShifts(
  plant: Plant,
  tracks: ReadonlyMap<string, Track>,
  since: ShiftState | null = null,
): Map<string, StationFact[]> {
  return walkDays(plant, tracks, since, Number.POSITIVE_INFINITY).facts;
}

/** Goes through the comings and goings before a time, epoch ms, so long ago that those around it are known. */
export function shiftsUntil(
  plant: Plant,
  tracks: ReadonlyMap<string, Track>,
  before: number,
  since: ShiftState | null,
): ShiftState {
  return { before, guns: walkDays(plant, tracks, since, before).guns };
}

function walkDays(
  plant: Plant,
  tracks: ReadonlyMap<string, Track>,
  since: ShiftState | null,
  before: number,
): { facts: Map<string, StationFact[]>; guns: Record<string, Usual> } {
  const crossings = new Map<string, Crossing[]>();
  for (const { id } of plant.guns) {
    const track = tracks.get(id);
    if (track !== undefined) crossings.set(id, crossingsOf(track));
  }
  const facts = new Map<string, StationFact[]>();
  const guns: Record<string, Usual> = { ...since?.guns };
  for (const [station, own] of crossings) {
    const others = [...crossings].filter(([id]) => id !== station).map(([, list]) => list);
    const fresh = own.filter(({ time }) => time >= (since?.before ?? 0) && time < before);
    const usual = structuredClone(since?.guns[station] ?? { comes: [], goes: [], before: null });
    const found = shiftsOf(station, fresh, others, usual);
    if (found.length > 0) facts.set(station, found);
    guns[station] = usual;
  }
  return { facts, guns };
}

function crossingsOf(track: Track): Crossing[] {
  const crossings: Crossing[] = [];
  for (const fact of track.facts) {
    if (fact.kind !== 'silence' || fact.until === null || fact.until - fact.time < NIGHT_MS) continue;
    crossings.push({ comes: false, time: fact.time }, { comes: true, time: fact.until });
  }
  return crossings;
}

function shiftsOf(
  station: string,
  own: readonly Crossing[],
  others: readonly (readonly Crossing[])[],
  usual: Usual,
): StationFact[] {
  const facts: StationFact[] = [];
  for (const crossing of own) {
    const compared = compare(crossing, others);
    if (compared === null) {
      usual.before = null;
      continue;
    }
    const lately = crossing.comes ? usual.comes : usual.goes;
    const off = lately.length < USUAL_FROM || !agree(lately) ? null : compared.shiftMs - median(lately);
    if (off === null || Math.abs(off) < LEAST_MS) {
      lately.push(compared.shiftMs);
      if (lately.length > USUAL_FROM) lately.shift();
    } else if (usual.before !== null && isClock(off, usual.before, isAlone(crossing, compared.shiftMs))) {
      const minutes = Math.round(Math.abs(off) / MINUTE_MS);
      facts.push({
        kind: 'clock',
        station,
        time: compared.known,
        offsetMs: off,
        detail: `the working day of this gun begins and ends ${minutes} minutes ${off > 0 ? 'after' : 'before'} that of the others, which it did not do before`,
      });
    }
    usual.before =
      off !== null && Math.abs(off) >= LEAST_MS ? { byMs: off, alone: isAlone(crossing, compared.shiftMs) } : null;
  }
  return facts;
}

/** Whether a gun says that it was on while the others were not: it came before them, or went after them. */
function isAlone({ comes }: Crossing, shiftMs: number): boolean {
  return comes ? shiftMs < -LEAST_MS : shiftMs > LEAST_MS;
}

/** Whether two crossings in a row are off as those of a clock are. */
function isClock(offMs: number, before: Off, alone: boolean): boolean {
  return Math.abs(offMs - before.byMs) <= AGREE_MS && (Math.abs(offMs) <= HOURS_MS || alone || before.alone);
}

function agree(times: readonly number[]): boolean {
  return Math.max(...times) - Math.min(...times) <= AGREE_MS;
}

/** Time between a crossing and that of the first others that make a quorum and cross together; null where there are none. Other clocks may be off, too. */
function compare(
  { comes, time }: Crossing,
  others: readonly (readonly Crossing[])[],
): { shiftMs: number; known: number } | null {
  const needed = Math.max(2, Math.ceil(QUORUM * others.length));
  const near: number[] = [];
  for (const list of others) {
    const one = nearest(list, comes, time);
    if (Math.abs(one - time) <= NEAR_MS) near.push(one);
  }
  if (near.length < needed) return null;
  near.sort((left, right) => left - right);
  // The first ones only: what comes later must not change what was known.
  const from = near.findIndex(
    (first, place) => (near[place + needed - 1] ?? Number.POSITIVE_INFINITY) - first <= AGREE_MS,
  );
  if (from < 0) return null;
  const first = near.slice(from, from + needed);
  // Where a day has ended shows in the silence after it.
  const known = Math.max(time, first.at(-1)!) + (comes ? 0 : NIGHT_MS);
  return { shiftMs: time - median(first), known };
}

/** The time of the coming or going that is nearest to a time, ms; infinite where there is none. */
function nearest(list: readonly Crossing[], comes: boolean, time: number): number {
  let found = Number.POSITIVE_INFINITY;
  for (const crossing of list)
    if (crossing.comes === comes && Math.abs(crossing.time - time) < Math.abs(found - time)) found = crossing.time;
  return found;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((left, right) => left - right);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
