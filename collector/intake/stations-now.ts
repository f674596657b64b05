import type { OnlineState, Store } from '../store/store.ts';
import type { StationNow } from './collector.ts';
import type { StationLatest } from './latest.ts';
import { restoreLatest } from './restore-latest.ts';

/** What a start finds in the store of each station, and what its node has said of itself since. */
export class StationsNow {
  readonly #store: Store;
  readonly #online: Map<string, OnlineState>;
  /** Last reading of before the start, epoch ms, of those whose newest readings nobody has asked for yet. */
  readonly #lastTimes: Map<string, number>;

  constructor(store: Store) {
    this.#store = store;
    this.#online = new Map(store.broker.online().map((state) => [state.station, state]));
    this.#lastTimes = new Map(store.readings.stations().map(({ station, lastTime }) => [station, lastTime]));
  }

  get lastTimes(): ReadonlyMap<string, number> {
    return this.#lastTimes;
  }

  get online(): readonly OnlineState[] {
    return [...this.#online.values()];
  }

  said(states: readonly OnlineState[]): void {
    for (const state of states) this.#online.set(state.station, state);
  }

  /** @param latest its readings since the start; those of before come back with the first look */
  look(station: string, latest: StationLatest): StationNow {
    if (this.#lastTimes.has(station)) restoreLatest(this.#store, latest, this.#lastTimes, station);
    const heard = latest.newestTime !== Number.NEGATIVE_INFINITY;
    return {
      station,
      readings: latest.readings(),
      newestTime: heard ? latest.newestTime : null,
      newestReceivedAt: heard ? latest.newestReceivedAt : null,
      reportingIntervalMs: latest.reportingIntervalMs(),
      online: this.#online.get(station)?.online ?? null,
    };
  }
}
