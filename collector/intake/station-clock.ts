import { EARLIEST_MS } from '../contract/time.ts';
import { PACK_LIMITS } from '../decode/decoded.ts';
import { SteadyOffsets } from './steady-offsets.ts';

const MINUTE_MS = 60_000;

/** A reading that is this near to the time when it came shows a clock that is right, ms. Source: own choice: a slow network and a minute's report. */
const FRESH_MS = MINUTE_MS;
/** A clock that is off by less is not told from a slow node, ms. Source: own choice, twice the above. */
const LEAST_OFF_MS = 2 * MINUTE_MS;
/** Packs of one clock differ by less: what a network delays, ms. Source: own choice. */
const TOLERANCE_MS = 30_000;
/** So far the known offset is still the best guess while a new one is not known yet, ms. Source: own choice. */
const NEAR_MS = 10 * MINUTE_MS;
/** A pack that spans more holds stored readings: how old they are says nothing of the clock, ms. Source: own choice. */
const STORED_MS = 5 * MINUTE_MS;

/** Readings with an impossible time that must agree, of two packs at least. Source: own choice, as for the finding: fewer are junk of a line. */
const LEAST_READINGS = 5;
/**
 * Packs that are off by the same, how long they must have come, and what a busy network may delay them: readings that were stored come
 * faster than they were made, those of a wrong clock just as fast. Source: own choice: a node that sends a quarter faster is told apart.
 */
const LEAST_PACKS = 6;
const LEAST_MS = MINUTE_MS;
const STEADY_MS = 15_000;

/**
 * Packs of a clock that began at 1970 a moment ago, and how long they must have come: times that are small for another reason do not grow as the
 * receiver's clock does. Until then its readings are ahead by what it has run, less than a slow node's. Source: own choice.
 */
const LEAST_BEGUN_MS = 30_000;
const BEGUN_STEADY_MS = 5000;

/** So many packs that are off by the same are no stored readings: when the next is off by something else the clock has jumped. Source: own choice. */
const LEAST_STEADY = 3;

/** What one pack says of its station's clock. Times are epoch ms. */
export interface PackTimes {
  /** Newest and oldest reading by the station's own clock. */
  readonly newest: number;
  readonly oldest: number;
  readonly readings: number;
  readonly receivedAt: number;
  /** Its times cannot be true: ahead of the receiver, or before 2000. */
  readonly impossible: boolean;
}

/** Whether what an offset makes of a pack's times can be true: a clock may have been right when it stored them. */
export function isPossible(
  { oldest, newest, receivedAt }: Pick<PackTimes, 'oldest' | 'newest' | 'receivedAt'>,
  offsetMs: number,
): boolean {
  return oldest - offsetMs >= EARLIEST_MS && newest - offsetMs <= receivedAt + PACK_LIMITS.aheadMs;
}

/** What a pack has told of a clock. */
export type ClockVerdict =
  /** It is right, or off by what was known. */
  | 'known'
  /** How far it is off is known from this pack on. */
  | 'learnt'
  /** It may be off; some more packs will tell. */
  | 'waits'
  /** Nothing: readings that were stored, or a history that is replayed. */
  | 'nothing';

/**
 * Follows the clock of one station: by how much its times are off from those at which its readings come. It has no clock of
 * its own. A correction stays the same while the clock does, so that a pack that comes twice becomes the same readings.
 */
export class StationClock {
  /** What is taken off the station's times, ms; 0 while its clock is right or not known to be off. */
  offsetMs: number;
  /** By how much the newest pack was off, and when it came. */
  latestOffMs = 0;
  latestAt = Number.NEGATIVE_INFINITY;
  /** What the newest pack has told; and whether those that waited before it are of another offset. */
  verdict: ClockVerdict = 'known';
  jumped = false;
  /** Its packs are stored ones, until one is fresh. */
  #storing = false;
  readonly #impossible = new SteadyOffsets();
  readonly #steady = new SteadyOffsets();
  readonly #begun = new SteadyOffsets();

  /** @param offsetMs known from before a restart */
  constructor(offsetMs = 0) {
    this.offsetMs = offsetMs;
  }

  /** Whether a newest reading shows a clock that is right; notes it then. */
  isFresh(newest: number, receivedAt: number): boolean {
    if (!(Math.abs(newest - receivedAt) <= FRESH_MS)) return false;
    this.latestOffMs = newest - receivedAt;
    this.latestAt = receivedAt;
    this.#steady.clear();
    this.#storing = false;
    return true;
  }

  /** No more packs have come, or too many: those that wait tell nothing. */
  giveUp(): void {
    this.#steady.clear();
    this.#storing = true;
  }

  /**
   * Judges the next pack.
   *
   * @param isCommon tells that other stations are off by the same: then it is a history that is replayed, and no clock
   * @returns what to take off its times, ms; null where they cannot be true and nothing is known yet
   */
  judge(pack: PackTimes, isCommon: (offMs: number) => boolean): number | null {
    const { newest, oldest, receivedAt, impossible } = pack;
    const offMs = newest - receivedAt;
    const stored = newest - oldest > STORED_MS;
    this.latestOffMs = offMs;
    this.latestAt = receivedAt;
    this.jumped = false;
    this.verdict = 'known';
    const isKnown = Math.abs(offMs - this.offsetMs) <= TOLERANCE_MS;
    if (this.offsetMs !== 0 && (isKnown || (stored && isPossible(pack, this.offsetMs)))) return this.offsetMs;
    if (impossible) return this.#judgeImpossible(pack, offMs);
    if (Math.abs(offMs) <= FRESH_MS) {
      this.offsetMs = 0;
      this.#steady.clear();
      this.#storing = false;
      return 0;
    }
    if (stored || Math.abs(offMs) < LEAST_OFF_MS) {
      this.verdict = 'nothing';
      return 0;
    }
    return this.#judgeOff(pack, offMs, isCommon);
  }

  /**
   * Judges the next pack whose times are some seconds since 1970, or from now: RFC 8428 has them alike.
   *
   * @param pack with its times taken as since 1970
   * @returns what to take off them, ms; null while they may be from now
   */
  judgeBegun({ newest, receivedAt, readings }: PackTimes): number | null {
    const offMs = newest - receivedAt;
    const row = this.#begun;
    row.add(offMs, receivedAt, readings, BEGUN_STEADY_MS);
    const isKnown = this.offsetMs !== 0 && Math.abs(offMs - this.offsetMs) <= BEGUN_STEADY_MS;
    const isSteady = row.packs >= LEAST_STEADY && receivedAt - row.firstAt >= LEAST_BEGUN_MS;
    if (!isKnown && !isSteady) return null;
    if (!isKnown) this.#settle(row.mostOffMs);
    else this.verdict = 'known';
    this.jumped = false;
    this.latestOffMs = offMs;
    this.latestAt = receivedAt;
    return this.offsetMs;
  }

  #judgeImpossible({ receivedAt, readings }: PackTimes, offMs: number): number | null {
    const row = this.#impossible;
    row.add(offMs, receivedAt, readings, TOLERANCE_MS);
    if (row.packs > 1 && row.readings >= LEAST_READINGS) this.#settle(row.mostOffMs);
    else return this.offsetMs !== 0 && Math.abs(offMs - this.offsetMs) <= NEAR_MS ? this.offsetMs : null;
    return this.offsetMs;
  }

  /** A time that may be true, but not of now. */
  #judgeOff({ receivedAt, readings }: PackTimes, offMs: number, isCommon: (offMs: number) => boolean): number {
    const row = this.#steady;
    const before = row.packs;
    const strayedMs = row.add(offMs, receivedAt, readings, STEADY_MS);
    this.jumped = strayedMs !== null;
    // A clock that jumps is off at once; what strays by little from each pack to the next are stored readings, which come faster than they were made.
    if (strayedMs !== null && (before < LEAST_STEADY || Math.abs(strayedMs) <= STEADY_MS)) this.#storing = true;
    if (row.packs >= LEAST_PACKS && receivedAt - row.firstAt >= LEAST_MS) {
      if (!isCommon(offMs)) {
        this.#settle(row.mostOffMs);
        return this.offsetMs;
      }
      this.#storing = true;
    }
    this.verdict = this.#storing ? 'nothing' : 'waits';
    return this.offsetMs !== 0 && Math.abs(offMs - this.offsetMs) <= NEAR_MS ? this.offsetMs : 0;
  }

  #settle(offMs: number): void {
    this.offsetMs = Math.round(offMs);
    this.#impossible.clear();
    this.#steady.clear();
    this.#begun.clear();
    this.#storing = false;
    this.verdict = 'learnt';
  }
}
