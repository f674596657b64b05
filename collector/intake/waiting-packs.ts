import type { Pack } from '../contract/frames.ts';
import type { ClockCorrection } from '../store/clock-spans.ts';
import type { WaitingPack } from '../store/store.ts';

/** A station that was not heard for longer may have stored what it read meanwhile, ms. Source: own choice, as far as a clock may be off unnoticed. */
const GAP_MS = 120_000;

/** Readings that wait until it is known whether their station's clock is off. Source: own choice: some megabytes. */
const MOST_READINGS = 20_000;

interface Waiting {
  readonly kept: WaitingPack;
  /** By the station's own clock. */
  readonly pack: Pack;
  readonly offMs: number;
}

/** What becomes of packs that waited. */
export interface Settled {
  readonly packs: readonly Pack[];
  readonly corrections: readonly ClockCorrection[];
  readonly settles: readonly number[];
}

const NOBODY: Settled = { packs: [], corrections: [], settles: [] };

/** The packs of one station that wait, and since when it has been heard without a gap. Times are epoch ms. */
export class WaitingPacks {
  #waiting: Waiting[] = [];
  #readings = 0;
  #heardFrom = Number.POSITIVE_INFINITY;
  #heardTo = Number.NEGATIVE_INFINITY;
  #newestAt = Number.NEGATIVE_INFINITY;

  get any(): boolean {
    return this.#waiting.length > 0;
  }

  get areMany(): boolean {
    return this.#readings > MOST_READINGS;
  }

  /** When the newest came, or was found again at a start. */
  get newestAt(): number {
    return this.#newestAt;
  }

  /** Whether a pack's times are such as were read, and heard, before: they cannot be of stored readings. */
  isSecond(pack: Pack): boolean {
    const { oldest, newest } = spanOf(pack.times);
    return oldest >= this.#heardFrom && newest <= this.#heardTo;
  }

  /** A reading with the right time has come. */
  heard(time: number): void {
    if (time > this.#heardTo + GAP_MS) this.#heardFrom = time;
    if (time > this.#heardTo) this.#heardTo = time;
  }

  /**
   * @param kept as it stands until then
   * @param pack the same by the station's own clock
   */
  add(kept: WaitingPack, pack: Pack): void {
    this.#waiting.push({ kept, pack, offMs: spanOf(pack.times).newest - kept.receivedAt });
    this.#newestAt = kept.receivedAt;
    this.#readings += pack.times.length;
  }

  /**
   * One that waited when the service before ended. They wait for their station's next pack from now on.
   *
   * @param heardTo newest reading that is kept of the station, epoch ms
   */
  takeUp(kept: WaitingPack, pack: Pack, heardTo: number, now: number): void {
    this.add(kept, pack);
    this.#newestAt = now;
    if (!kept.isSecond) return;
    this.#heardFrom = Math.min(this.#heardFrom, spanOf(pack.times).oldest);
    this.#heardTo = Math.max(this.#heardTo, heardTo);
  }

  /** Their clock is known to be off by so much. */
  move(offsetMs: number): Settled {
    const waiting = this.#take();
    if (waiting.length === 0) return NOBODY;
    const packs = waiting.map(({ pack }) => moved(pack, offsetMs));
    const corrections = waiting.map(({ kept }, index) => correctionOf(packs[index]!, offsetMs, kept.receivedAt));
    for (const { to } of corrections) this.heard(to);
    return { packs, corrections, settles: waiting.map(({ kept }) => kept.id) };
  }

  /** Nothing more will be known: those whose times were heard before are of a clock that was off, the others were stored. */
  release(): Settled {
    if (this.#waiting.length > 0 && this.#waiting.every(({ kept }) => kept.isSecond))
      return this.move(Math.round(Math.max(...this.#waiting.map(({ offMs }) => offMs))));
    const waiting = this.#take();
    const kept = waiting.map((one) => one.kept);
    return { packs: kept.map(({ pack }) => pack), corrections: [], settles: kept.map(({ id }) => id) };
  }

  #take(): Waiting[] {
    const waiting = this.#waiting;
    if (waiting.length > 0) this.#waiting = [];
    this.#readings = 0;
    return waiting;
  }
}

/** A pack with other times: what is taken off its station's clock. */
export const moved = (pack: Pack, offsetMs: number): Pack => ({
  ...pack,
  times: pack.times.map((time) => time - offsetMs),
});

/** What was done to a pack, from its corrected times. */
export function correctionOf({ station, times }: Pack, offsetMs: number, receivedAt: number): ClockCorrection {
  const { oldest: from, newest: to } = spanOf(times);
  return { station, offsetMs, from, to, readings: times.length, receivedAt };
}

export function spanOf(times: readonly number[]): { readonly oldest: number; readonly newest: number } {
  let newest = Number.NEGATIVE_INFINITY;
  let oldest = Number.POSITIVE_INFINITY;
  for (let index = 0; index < times.length; index++) {
    const time = times[index]!;
    if (time > newest) newest = time;
    if (time < oldest) oldest = time;
  }
  return { oldest, newest };
}
