import { packState, unpackState } from './state-bytes.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

/**
 * Distance that checkpoints of a certain age keep, youngest first. Source: own choice, because late readings are
 * mostly minutes or a shift old, and a month is recomputed in seconds.
 */
const SPACINGS: readonly { readonly upToMs: number; readonly everyMs: number }[] = [
  { upToMs: 2 * HOUR_MS, everyMs: 15 * MINUTE_MS },
  { upToMs: 2 * DAY_MS, everyMs: 3 * HOUR_MS },
  { upToMs: 14 * DAY_MS, everyMs: DAY_MS },
  { upToMs: 56 * DAY_MS, everyMs: 7 * DAY_MS },
];

/** Older ones keep a distance that grows with their age, so that ten years need hardly more of them than one. Source: own choice: who goes back a year
 * then goes at most an eighth further. */
const OLD_SHARE = 1 / 8;

/** Longest distance at which they are made, however old what is gone through is. */
const MOST_MS = 7 * DAY_MS;

/** Distance while a backlog is rushed through, and the share of the time that checkpoints may take. Source: own choice. */
const RUSHED_MS = 12 * HOUR_MS;
const SHARE = 0.05;

/**
 * Older checkpoints are in the store alone. Source: own choice: as many are written as if each waited for an hour, and in memory there are two
 * instead of five; those of a hall with two hundred guns take megabytes each.
 */
const KEPT_FROM_MS = 15 * MINUTE_MS;

interface Checkpoint {
  readonly time: number;
  /**
   * null once the store has them: memory holds only what is too young to be stored, however long the history. A string, a
   * character for each byte, because V8 moves strings together; bytes that live for a quarter of an hour between others that live for
   * a moment would leave holes in the memory that the process has.
   */
  bytes: string | null;
}

/** Where checkpoints outlive the process: a part of the store's named states. */
export interface CheckpointStore {
  get(key: string): Uint8Array | null;
  put(key: string, bytes: Uint8Array): void;
  delete(key: string): void;
  keys(prefix?: string): string[];
}

/** States of one computation at earlier reading times, so that late readings need not start it anew. */
export class Checkpoints<State> {
  readonly #prefix: string;
  readonly #now: () => number;
  readonly #removed: string[] = [];
  #points: Checkpoint[] = [];
  #store: Pick<CheckpointStore, 'get'> | null = null;
  #restsUntil = Number.NEGATIVE_INFINITY;

  /**
   * @param prefix of the keys in the store
   * @param now wall clock, ms: it decides how many are kept, never what they hold
   */
  constructor(prefix: string, now: () => number) {
    this.#prefix = prefix;
    this.#now = now;
  }

  /** Brings back what was kept. */
  load(store: CheckpointStore): void {
    this.#store = store;
    this.#points = store
      .keys(this.#prefix)
      .map((key) => ({ time: Number(key.slice(this.#prefix.length)), bytes: null }));
    this.#points.sort((left, right) => left.time - right.time);
  }

  /** Reading times that can be gone back to, ascending. */
  get times(): number[] {
    return this.#points.map(({ time }) => time);
  }

  /** Bytes of checkpoints that are in memory. */
  get heldBytes(): number {
    return this.#points.reduce((sum, { bytes }) => sum + (bytes?.length ?? 0), 0);
  }

  /** Reading time at which the next checkpoint is due, when readings are known up to `newest`. */
  dueAfter(newest: number): number {
    const last = this.#points.at(-1)?.time;
    if (last === undefined) return 0;
    const every = Math.min(spacing(newest - last), MOST_MS);
    return last + (this.#now() < this.#restsUntil ? Math.max(every, RUSHED_MS) : every);
  }

  /** Keeps the state that holds at `time`, later than all others, and lets go of some older ones. */
  add(time: number, state: State, newest: number): void {
    const began = this.#now();
    const packed = packState(state);
    const bytes = Buffer.from(packed.buffer, packed.byteOffset, packed.length).toString('latin1');
    this.#points.push({ time, bytes });
    this.#thin(newest);
    const ended = this.#now();
    this.#restsUntil = ended + (ended - began) / SHARE;
  }

  /** The latest state of a time before `time`; null when there is none: then all must be computed anew. */
  before(time: number): { readonly time: number; readonly state: State } | null {
    for (let index = this.#points.length - 1; index >= 0; index--) {
      const point = this.#points[index]!;
      if (point.time >= time) continue;
      const bytes = point.bytes === null ? this.#store?.get(this.#key(point)) : Buffer.from(point.bytes, 'latin1');
      // One that the store has lost counts for nothing: an earlier one does as well, later.
      if (bytes) return { time: point.time, state: unpackState<State>(bytes) };
    }
    return null;
  }

  /** Forgets what holds at `time` or later: it has become untrue. */
  dropFrom(time: number): void {
    while (this.#points.length > 0 && this.#points.at(-1)!.time >= time) this.#forget(this.#points.pop()!);
  }

  /** Writes what is old enough to be kept, removes what is not any more. Within the caller's transaction. */
  flush(store: CheckpointStore, newest: number): void {
    this.#store = store;
    for (const key of this.#removed.splice(0)) store.delete(key);
    for (const point of this.#points) {
      if (point.bytes === null || newest - point.time < KEPT_FROM_MS) continue;
      store.put(this.#key(point), Buffer.from(point.bytes, 'latin1'));
      point.bytes = null;
    }
  }

  /** Goes from the newest to the oldest and drops each that is too near its younger neighbour. */
  #thin(newest: number): void {
    const kept: Checkpoint[] = [];
    for (let index = this.#points.length - 1; index >= 0; index--) {
      const point = this.#points[index]!;
      const younger = kept.at(-1);
      const older = this.#points[index - 1];
      // Between its neighbours it may go when they are near enough to each other.
      const near =
        younger !== undefined && older !== undefined && younger.time - older.time <= spacing(newest - point.time);
      if (near) this.#forget(point);
      else kept.push(point);
    }
    this.#points = kept.reverse();
  }

  #forget(point: Checkpoint): void {
    if (point.bytes === null) this.#removed.push(this.#key(point));
  }

  #key({ time }: Checkpoint): string {
    return `${this.#prefix}${String(time).padStart(15, '0')}`;
  }
}

function spacing(ageMs: number): number {
  return SPACINGS.find(({ upToMs }) => ageMs <= upToMs)?.everyMs ?? ageMs * OLD_SHARE;
}
