import type { Pack } from '../contract/frames.ts';
import type { ClockCorrection } from '../store/clock-spans.ts';
import type { WaitingPack } from '../store/store.ts';
import { isPossible, type PackTimes, StationClock } from './station-clock.ts';
import { correctionOf, moved, type Settled, spanOf, WaitingPacks } from './waiting-packs.ts';

/** A station that was not heard for longer says nothing of what is usual now, ms. Source: own choice. */
const HEARD_MS = 5 * 60_000;
/** Stations that are off by the same to this share, or a minute, are off together. Source: own choice. */
const SAME_SHARE = 0.05;
const SAME_MS = 60_000;
/** Readings of one station with impossible times held until its clock is known; more are kept apart without a correction. */
const MOST_HELD = 1000;
/** Packs that wait and to which none is added for so long were stored ones, ms. Source: own choice, a minute's report. */
const LONGEST_WAIT_MS = 65_000;

/** What becomes of a pack by its station's clock. */
export interface Corrected {
  /** With corrected times, to be kept as readings; those that were held come first. */
  readonly packs: readonly Pack[];
  /** What was done to them, to be kept beside them. */
  readonly corrections: readonly ClockCorrection[];
  /** How far the clock is off, ms; 0 where nothing was corrected. */
  readonly offsetMs: number;
  /** The clock was known to be off by this before. */
  readonly wasKnown: boolean;
  /** To be kept for now, until its number is among the `settles` of a later one. */
  readonly waits?: WaitingPack;
  /** Numbers of packs that were kept for now and end: they are among `packs`, with their times. */
  readonly settles?: readonly number[];
}

const NOTHING: Corrected = { packs: [], corrections: [], offsetMs: 0, wasKnown: false };

interface Followed {
  readonly clock: StationClock;
  readonly waiting: WaitingPacks;
}

/** The clocks of all stations of a site. */
export class SiteClocks {
  readonly #followed = new Map<string, Followed>();
  readonly #held = new Map<string, Pack[]>();
  #lastId = 0;

  /** @param known offsets of before a restart, ms */
  constructor(known: ReadonlyMap<string, number> = new Map()) {
    for (const [station, offsetMs] of known)
      this.#followed.set(station, { clock: new StationClock(offsetMs), waiting: new WaitingPacks() });
  }

  /**
   * Goes on with packs that waited when the service before ended.
   *
   * @param newest reading that is kept of each station, epoch ms
   */
  takeUp(left: readonly WaitingPack[], newest: ReadonlyMap<string, number>, now: number): void {
    for (const kept of left) {
      const { station } = kept.pack;
      const own = moved(kept.pack, -kept.offsetMs);
      const { clock, waiting } = this.#of(station);
      clock.judge(timesOf(own, kept.receivedAt, false), (offMs) => this.#isCommon(station, offMs, kept.receivedAt));
      waiting.takeUp(kept, own, newest.get(station) ?? Number.NEGATIVE_INFINITY, now);
      this.#lastId = Math.max(this.#lastId, kept.id);
    }
  }

  /**
   * Judges a pack whose times are possible.
   *
   * @param fromNow all of them were said to be some seconds from now, or since 1970: nobody can tell by one pack
   * @returns null where it is to be kept as it is: nearly always
   */
  judge(pack: Pack, receivedAt: number, fromNow = false): Corrected | null {
    const { clock, waiting } = this.#of(pack.station);
    if (fromNow) {
      const known = clock.offsetMs;
      const own = moved(pack, receivedAt);
      const offsetMs = clock.judgeBegun(timesOf(own, receivedAt, true));
      if (offsetMs !== null) {
        const settled = waiting.any ? waiting.release() : null;
        return this.#corrected(waiting, settled, [own], offsetMs, receivedAt, known === offsetMs);
      }
    }
    const before = clock.offsetMs;
    const last = pack.times[pack.times.length - 1]!;
    // Nearly every pack: looked at no closer, because this is once for each message.
    if (before === 0 && clock.isFresh(last, receivedAt)) {
      const settled = waiting.any ? waiting.release() : null;
      waiting.heard(last);
      return settled === null ? null : ended(settled, pack, receivedAt);
    }
    const offsetMs =
      clock.judge(timesOf(pack, receivedAt, false), (offMs) => this.#isCommon(pack.station, offMs, receivedAt)) ?? 0;
    if (clock.verdict === 'waits') return this.#wait(pack, clock, waiting, offsetMs, receivedAt);
    const settled = !waiting.any
      ? null
      : clock.verdict === 'learnt' && !clock.jumped
        ? waiting.move(offsetMs)
        : waiting.release();
    if (offsetMs !== 0) return this.#corrected(waiting, settled, [pack], offsetMs, receivedAt, before === offsetMs);
    if (clock.offsetMs === 0 && before !== 0) {
      waiting.heard(last);
      return ended(settled, pack, receivedAt);
    }
    return settled === null ? null : together(settled, [pack], [], 0);
  }

  /**
   * Readings whose sender says that they were kept and come later: they say nothing of the clock. What is known of it holds for them, unless it
   * makes times of theirs that cannot be true: then they were read before the clock went wrong.
   *
   * @returns null where nothing that is known can be taken off
   */
  judgeStored(pack: Pack, receivedAt: number): Corrected | null {
    const { clock, waiting } = this.#of(pack.station);
    const { offsetMs } = clock;
    if (offsetMs === 0 || !isPossible(timesOf(pack, receivedAt, false), offsetMs)) return null;
    return this.#corrected(waiting, null, [pack], offsetMs, receivedAt, true);
  }

  /**
   * Judges readings whose times cannot be true.
   *
   * @param pack by the station's own clock: ahead, or before 2000
   * @param rest what else came with them; corrected alike where that can be true, unless it shows that the clock is right and those are junk
   */
  judgeImpossible(pack: Pack, rest: Pack | null, receivedAt: number): Corrected {
    const { station } = pack;
    const { clock, waiting } = this.#of(station);
    const times = timesOf(pack, receivedAt, true);
    if (rest !== null && rest.times.length > 0) {
      const { newest } = timesOf(rest, receivedAt, false);
      if (clock.isFresh(newest, receivedAt)) return NOTHING;
    }
    const held = this.#held.get(station) ?? [];
    const before = clock.offsetMs;
    const offsetMs = clock.judge(times, () => false);
    if (offsetMs === null) {
      const room = MOST_HELD - held.reduce((sum, one) => sum + one.times.length, 0);
      if (times.readings <= room) this.#held.set(station, [...held, pack]);
      return NOTHING;
    }
    this.#held.delete(station);
    // Those that were held came from the same clock, or were junk of a line.
    const alike = held.filter((one) => Math.abs(one.times.at(-1)! - offsetMs - receivedAt) <= HEARD_MS);
    const others = rest !== null && rest.times.length > 0 ? [rest] : [];
    const moves = others.every((one) => isPossible(timesOf(one, receivedAt, false), offsetMs));
    const packs = [...alike, pack, ...(moves ? others : [])];
    const settled = waiting.any ? waiting.release() : null;
    const corrected = this.#corrected(waiting, settled, packs, offsetMs, receivedAt, before === offsetMs);
    return moves ? corrected : { ...corrected, packs: [...corrected.packs, ...others] };
  }

  /** Packs that have waited in vain, called every few seconds: of stations that have sent no more, or too many. */
  expire(now: number): Corrected[] {
    const expired: Corrected[] = [];
    for (const { clock, waiting } of this.#followed.values()) {
      if (!waiting.any || (now - waiting.newestAt < LONGEST_WAIT_MS && !waiting.areMany)) continue;
      clock.giveUp();
      expired.push(together(waiting.release(), [], [], 0));
    }
    return expired;
  }

  #wait(pack: Pack, clock: StationClock, waiting: WaitingPacks, offsetMs: number, receivedAt: number): Corrected {
    const settled = clock.jumped && waiting.any ? waiting.release() : null;
    const waits = {
      id: ++this.#lastId,
      pack: offsetMs === 0 ? pack : moved(pack, offsetMs),
      ...{ offsetMs, receivedAt, isSecond: waiting.isSecond(pack) },
    };
    waiting.add(waits, pack);
    return { ...(settled === null ? NOTHING : together(settled, [], [], 0)), waits };
  }

  #corrected(
    waiting: WaitingPacks,
    settled: Settled | null,
    packs: readonly Pack[],
    offsetMs: number,
    receivedAt: number,
    wasKnown: boolean,
  ): Corrected {
    const right = packs.map((pack) => moved(pack, offsetMs));
    const corrections = right.map((pack) => correctionOf(pack, offsetMs, receivedAt));
    for (const { to } of corrections) waiting.heard(to);
    if (settled === null) return { packs: right, corrections, offsetMs, wasKnown };
    return { ...together(settled, right, corrections, offsetMs), wasKnown };
  }

  #of(station: string): Followed {
    const known = this.#followed.get(station);
    if (known !== undefined) return known;
    const followed = { clock: new StationClock(), waiting: new WaitingPacks() };
    this.#followed.set(station, followed);
    return followed;
  }

  /** True when half of the other stations that are heard are off by the same: a history is being replayed. */
  #isCommon(station: string, offMs: number, now: number): boolean {
    let heard = 0;
    let same = 0;
    for (const [id, { clock }] of this.#followed) {
      const { latestAt, latestOffMs } = clock;
      if (id === station || now - latestAt > HEARD_MS) continue;
      heard++;
      if (Math.abs(latestOffMs - offMs) <= Math.max(SAME_MS, SAME_SHARE * Math.abs(offMs))) same++;
    }
    return same > 0 && 2 * same >= heard;
  }
}

/** Packs that waited, and those behind them. */
function together(
  settled: Settled,
  packs: readonly Pack[],
  corrections: readonly ClockCorrection[],
  offsetMs: number,
): Corrected {
  return {
    packs: [...settled.packs, ...packs],
    corrections: [...settled.corrections, ...corrections],
    offsetMs: offsetMs !== 0 ? offsetMs : (settled.corrections[0]?.offsetMs ?? 0),
    wasKnown: false,
    settles: settled.settles,
  };
}

/** A clock is right again. */
function ended(settled: Settled | null, pack: Pack, receivedAt: number): Corrected {
  const end = { station: pack.station, offsetMs: 0, from: 0, to: 0, readings: 0, receivedAt };
  if (settled === null) return { packs: [pack], corrections: [end], offsetMs: 0, wasKnown: true };
  return { ...together(settled, [pack], [end], 0), wasKnown: true };
}

function timesOf({ times }: Pack, receivedAt: number, impossible: boolean): PackTimes {
  // Named one by one: a spread is slow, and a burst of stored readings comes here with each pack.
  const { oldest, newest } = spanOf(times);
  return { oldest, newest, readings: times.length, receivedAt, impossible };
}
