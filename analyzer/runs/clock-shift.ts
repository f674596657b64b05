import type { Plant } from '../../collector/contract/index.ts';
import type { StationFact, Track } from '../site.ts';

const MINUTE_MS = 60_000;

/** A silence from this length on parts two working days or shifts, ms. Source: own choice. */
const NIGHT_MS = 2 * 60 * MINUTE_MS;

/** Guns that come or go at all together do so within this time, ms; clocks are not off by more. Source: own choice. */
const NEAR_MS = 90 * MINUTE_MS;

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

/**
 * Finds clocks that have come to be off from when a gun's working day begins and ends: a hall's guns are switched on
 * and off as one, and a gun that does both later, or earlier, by the same time has another clock than before.
 *
 * @param tracks with all silences of 30 minutes and more
 * @returns facts by station, each noticed when the second crossing shows it
 */
export function clockShifts(plant: Plant, tracks: ReadonlyMap<string, Track>): Map<string, StationFact[]> {
  const crossings = new Map<string, Crossing[]>();
  for (const { id } of plant.guns) {
    const track = tracks.get(id);
    if (track !== undefined) crossings.set(id, crossingsOf(track));
  }
  const facts = new Map<string, StationFact[]>();
  for (const [station, own] of crossings) {
    const others = [...crossings].filter(([id]) => id !== station).map(([, list]) => list);
    const found = shiftsOf(station, own, others);
    if (found.length > 0) facts.set(station, found);
  }
  return facts;
}

function crossingsOf(track: Track): Crossing[] {
  const crossings: Crossing[] = [];
  for (const fact of track.facts) {
    if (fact.kind !== 'silence' || fact.until === null || fact.until - fact.time < NIGHT_MS) continue;
    crossings.push({ comes: false, time: fact.time }, { comes: true, time: fact.until });
  }
  return crossings;
}

function shiftsOf(station: string, own: readonly Crossing[], others: readonly (readonly Crossing[])[]): StationFact[] {
  const facts: StationFact[] = [];
  const usual = { comes: [] as number[], goes: [] as number[] };
  let before: number | null = null;
  for (const crossing of own) {
    const compared = compare(crossing, others);
    if (compared === null) {
      before = null;
      continue;
    }
    const lately = crossing.comes ? usual.comes : usual.goes;
    const off = lately.length < USUAL_FROM || !agree(lately) ? null : compared.shiftMs - median(lately);
    if (off === null || Math.abs(off) < LEAST_MS) {
      lately.push(compared.shiftMs);
      if (lately.length > USUAL_FROM) lately.shift();
    } else if (before !== null && Math.abs(off - before) <= AGREE_MS) {
      const minutes = Math.round(Math.abs(off) / MINUTE_MS);
      facts.push({
        kind: 'clock',
        station,
        time: compared.known,
        offsetMs: off,
        detail: `the working day of this gun begins and ends ${minutes} minutes ${off > 0 ? 'after' : 'before'} that of the others, which it did not do before`,
      });
    }
    before = off !== null && Math.abs(off) >= LEAST_MS ? off : null;
  }
  return facts;
}

function agree(times: readonly number[]): boolean {
  return Math.max(...times) - Math.min(...times) <= AGREE_MS;
}

/** Time between a crossing and that of the first others that make a quorum; null when they do not cross together. */
function compare(
  { comes, time }: Crossing,
  others: readonly (readonly Crossing[])[],
): { shiftMs: number; known: number } | null {
  const needed = Math.max(2, Math.ceil(QUORUM * others.length));
  const near: number[] = [];
  for (const list of others) {
    const one = list.find((crossing) => crossing.comes === comes && Math.abs(crossing.time - time) <= NEAR_MS);
    if (one !== undefined) near.push(one.time);
  }
  if (near.length < needed) return null;
  // The first ones only: what comes later must not change what was known.
  const first = near.sort((left, right) => left - right).slice(0, needed);
  if (first.at(-1)! - first[0]! > AGREE_MS) return null;
  // Where a day has ended shows in the silence after it.
  const known = Math.max(time, first.at(-1)!) + (comes ? 0 : NIGHT_MS);
  return { shiftMs: time - median(first), known };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((left, right) => left - right);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
