import type { StationFact } from '../site.ts';

/** Whether the name of the powder in use can be believed. */
export interface PowderTrust {
  /** Last name read, as an index into the run table's powders; -1 before the first. */
  read: number;
  /** Changes of it, of which those of an hour ago count e times less, and when that was reckoned, epoch ms. */
  changes: number;
  time: number;
  /** Place of the open fact in the station's facts, or -1. */
  fact: number;
}

export function startPowderTrust(): PowderTrust {
  return { read: -1, changes: 0, time: 0, fact: -1 };
}

const HOUR_MS = 3_600_000;
/**
 * Changes within about an hour from which a name is not the powder's, and down to which it is believed again. Source: own choice: a change of
 * powder takes a quarter of an hour with its cleaning and hardly less than half of that, so a gun that did nothing else would make eight.
 */
const CHANGES = { most: 12, again: 3 };

/**
 * Takes in a name of the powder in use as it was read.
 *
 * @param place index into the run table's powders
 * @param facts of the station, which a name that is not believed adds to
 * @returns the powder to believe in: -1, not known, while names change faster than powders can
 */
export function believePowder(
  trust: PowderTrust,
  station: string,
  place: number,
  time: number,
  facts: StationFact[],
): number {
  if (trust.changes > 0) trust.changes *= Math.exp(-(time - trust.time) / HOUR_MS);
  trust.time = time;
  if (trust.read >= 0 && place !== trust.read) trust.changes++;
  trust.read = place;
  if (trust.fact >= 0) {
    if (trust.changes > CHANGES.again) return -1;
    const fact = facts[trust.fact]!;
    if (fact.kind === 'stuck') facts[trust.fact] = { ...fact, until: time };
    trust.fact = -1;
    return place;
  }
  if (trust.changes < CHANGES.most) return place;
  trust.fact = facts.length;
  facts.push({
    kind: 'stuck',
    station,
    channel: 'powder/id',
    time,
    noticed: time,
    until: null,
    detail: `the name of the powder has changed ${CHANGES.most} times within about an hour, faster than powder can be changed: it is not believed, and the gun is judged as if no powder were read`,
  });
  return -1;
}
