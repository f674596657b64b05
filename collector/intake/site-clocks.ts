import type { Pack } from '../contract/frames.ts';
import type { ClockCorrection } from '../store/clock-spans.ts';
import { type PackTimes, StationClock } from './station-clock.ts';

/** A station that was not heard for longer says nothing of what is usual now, ms. Source: own choice. */
const HEARD_MS = 5 * 60_000;
/** Stations that are off by the same to this share, or a minute, are off together. Source: own choice. */
const SAME_SHARE = 0.05;
const SAME_MS = 60_000;
/** Readings of one station held until its clock is known; more are kept apart without a correction. */
const MOST_HELD = 1000;

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
}

const NOTHING: Corrected = { packs: [], corrections: [], offsetMs: 0, wasKnown: false };

/** The clocks of all stations of a site. */
export class SiteClocks {
  readonly #clocks = new Map<string, StationClock>();
  readonly #held = new Map<string, Pack[]>();

  /** @param known offsets of before a restart, ms */
  constructor(known: ReadonlyMap<string, number> = new Map()) {
    for (const [station, offsetMs] of known) this.#clocks.set(station, new StationClock(offsetMs));
  }

  /**
   * Judges a pack whose times are possible.
   *
   * @returns null where it is to be kept as it is: nearly always
   */
  judge(pack: Pack, receivedAt: number): Corrected | null {
    const clock = this.#clockOf(pack.station);
    const before = clock.offsetMs;
    // Nearly every pack: looked at no closer, because this is once for each message.
    if (before === 0 && clock.isFresh(pack.times[pack.times.length - 1]!, receivedAt)) return null;
    const offsetMs = clock.judge(timesOf(pack, receivedAt, false), (offMs) =>
      this.#isCommon(pack.station, offMs, receivedAt),
    );
    if (offsetMs !== null && offsetMs !== 0) return this.#corrected(clock, [pack], receivedAt, before === offsetMs);
    if (before === 0) return null;
    const ended = { station: pack.station, offsetMs: 0, from: 0, to: 0, readings: 0, receivedAt };
    return clock.offsetMs === 0 ? { packs: [pack], corrections: [ended], offsetMs: 0, wasKnown: true } : null;
  }

  /**
   * Judges readings whose times cannot be true.
   *
   * @param pack by the station's own clock: ahead, or before 2000
   * @param rest what else came with them; corrected alike, unless it shows that the clock is right and those are junk
   */
  judgeImpossible(pack: Pack, rest: Pack | null, receivedAt: number): Corrected {
    const { station } = pack;
    const clock = this.#clockOf(station);
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
    const packs = [...alike, pack, ...(rest !== null && rest.times.length > 0 ? [rest] : [])];
    return this.#corrected(clock, packs, receivedAt, before === offsetMs);
  }

  #corrected({ offsetMs }: StationClock, packs: readonly Pack[], receivedAt: number, wasKnown: boolean): Corrected {
    const moved = packs.map((pack) => ({ ...pack, times: pack.times.map((time) => time - offsetMs) }));
    const corrections = moved.map((pack) => {
      const { newest, oldest, readings } = timesOf(pack, receivedAt, false);
      return { station: pack.station, offsetMs, from: oldest, to: newest, readings, receivedAt };
    });
    return { packs: moved, corrections, offsetMs, wasKnown };
  }

  #clockOf(station: string): StationClock {
    const known = this.#clocks.get(station);
    if (known !== undefined) return known;
    const clock = new StationClock();
    this.#clocks.set(station, clock);
    return clock;
  }

  /** True when half of the other stations that are heard are off by the same: a history is being replayed. */
  #isCommon(station: string, offMs: number, now: number): boolean {
    let heard = 0;
    let same = 0;
    for (const [id, { latestAt, latestOffMs }] of this.#clocks) {
      if (id === station || now - latestAt > HEARD_MS) continue;
      heard++;
      if (Math.abs(latestOffMs - offMs) <= Math.max(SAME_MS, SAME_SHARE * Math.abs(offMs))) same++;
    }
    return same > 0 && 2 * same >= heard;
  }
}

function timesOf({ times }: Pack, receivedAt: number, impossible: boolean): PackTimes {
  let newest = Number.NEGATIVE_INFINITY;
  let oldest = Number.POSITIVE_INFINITY;
  for (let index = 0; index < times.length; index++) {
    const time = times[index]!;
    if (time > newest) newest = time;
    if (time < oldest) oldest = time;
  }
  return { newest, oldest, readings: times.length, receivedAt, impossible };
}
