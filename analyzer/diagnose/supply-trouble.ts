import type { GunMemory } from '../baseline/gun-memory.ts';
import type { FindingBook, OpenFinding } from './finding-book.ts';

const HOUR = 3_600_000;
/** So long a gun whose inlet pressure fell waits for the others of its line to say the same. Source: own choice, each tells of it with its own next runs. */
const WAITS_MS = 3 * HOUR;

/**
 * So long after it was told a low line keeps its guns from being judged, ms. Source: own choice, a day: what has lasted for that long is what they work with from now on (a
 * setting that was lowered, most of all), regulators hold what people set, and parts wear on meanwhile.
 */
const TROUBLES_MS = 24 * HOUR;

/** The open finding on the supply air of this gun's line; its guns share what it does to them. */
export function supplyFinding(book: FindingBook, gun: string): OpenFinding | undefined {
  return book.open.find(({ subject, guns }) => subject.startsWith('supply:') && guns?.includes(gun));
}

/**
 * True while the inlet pressure of a gun says more of its air supply than of its parts: its line has come into trouble, or its own
 * pressure has just fallen and the others have not been heard yet. What pressure and flow do then is off every curve that was learnt.
 */
export function supplyTroubled(book: FindingBook, memory: GunMemory, now: number): boolean {
  const { lowSince } = memory.supply;
  if (lowSince > 0 && now - lowSince < WAITS_MS) return true;
  const trouble = supplyFinding(book, memory.id);
  return trouble !== undefined && now - trouble.raised < TROUBLES_MS;
}
