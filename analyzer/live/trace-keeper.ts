import type { TracePoint, Traces } from '../../collector/index.ts';
import type { GunView } from '../views.ts';

/** Distance of two points of a trace, ms of reading time. Source: own choice, because an insert lives for hundreds of hours. */
export const TRACE_MS = 3_600_000;

/** Points are written once so many have gathered, or when findings are shown. Source: own choice, a transaction of some milliseconds. */
const FULL = 2000;

/** Follows the excess air of all guns hour by hour and writes it down. */
export class TraceKeeper {
  readonly #waiting: TracePoint[] = [];
  /** Newest spraying of each gun that a point tells of. */
  readonly #told = new Map<string, number>();
  #droppedAfter = Number.POSITIVE_INFINITY;

  /** What is known of the guns at a full hour of reading time; those that did not spray in it are left out. */
  note(views: readonly GunView[], time: number): void {
    for (const { id, asOf, neededAir, actualAir, excessAir, changeLimit, wearLeft } of views) {
      if (asOf === null || asOf <= Math.max(time - TRACE_MS, this.#told.get(id) ?? 0)) continue;
      this.#told.set(id, asOf);
      this.#waiting.push({
        ...{ gun: id, time, needed: neededAir, actual: actualAir, changeLimit, wearLeft },
        ...{ excess: excessAir?.p50 ?? null, low: excessAir?.p10 ?? null, high: excessAir?.p90 ?? null },
      });
    }
  }

  /** What was noted for later than `time` is computed anew. */
  rewind(time: number): void {
    this.#droppedAfter = Math.min(this.#droppedAfter, time);
    this.#told.clear();
    const kept = this.#waiting.filter((point) => point.time <= time);
    this.#waiting.splice(0, this.#waiting.length, ...kept);
  }

  get isFull(): boolean {
    return this.#waiting.length >= FULL;
  }

  /** True when there is something for `show` to write. */
  get isStale(): boolean {
    return this.#waiting.length > 0 || this.#droppedAfter < Number.POSITIVE_INFINITY;
  }

  /** Writes down what has gathered. */
  show(store: { readonly traces: Traces }): void {
    if (this.#droppedAfter < Number.POSITIVE_INFINITY) store.traces.dropAfter(this.#droppedAfter);
    this.#droppedAfter = Number.POSITIVE_INFINITY;
    if (this.#waiting.length > 0) store.traces.put(this.#waiting.splice(0));
  }
}
