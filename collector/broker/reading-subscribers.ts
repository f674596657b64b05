import { mayMatchReadings } from './topics.ts';

/**
 * Which clients have a subscription that readings may match. While there is none, committed readings need not pass
 * through the broker at all.
 */
export class ReadingSubscribers {
  readonly #root: string;
  readonly #filters = new Map<string, Set<string>>();

  constructor(root: string) {
    this.#root = root;
  }

  get any(): boolean {
    return this.#filters.size > 0;
  }

  add(clientId: string, filter: string): void {
    if (!mayMatchReadings(this.#root, filter)) return;
    const filters = this.#filters.get(clientId);
    if (filters === undefined) this.#filters.set(clientId, new Set([filter]));
    else filters.add(filter);
  }

  remove(clientId: string, filters: readonly string[]): void {
    const kept = this.#filters.get(clientId);
    if (kept === undefined) return;
    for (const filter of filters) kept.delete(filter);
    if (kept.size === 0) this.#filters.delete(clientId);
  }

  drop(clientId: string): void {
    this.#filters.delete(clientId);
  }
}
