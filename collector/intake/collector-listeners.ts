import type { CollectorEvents } from './collector.ts';

type Name = keyof CollectorEvents;
type Listener<Each extends Name> = (...what: CollectorEvents[Each]) => void;

/** Who listens to which event of a collector. */
export class CollectorListeners {
  readonly #of: { readonly [Each in Name]: Set<Listener<Each>> } = {
    committed: new Set(),
    clock: new Set(),
    online: new Set(),
    closed: new Set(),
  };

  /** @returns takes the listener off again */
  add<Each extends Name>(name: Each, listener: Listener<Each>): () => void {
    const all: Set<Listener<Each>> = this.#of[name];
    all.add(listener);
    return () => void all.delete(listener);
  }

  tell<Each extends Name>(name: Each, ...what: CollectorEvents[Each]): void {
    const all: ReadonlySet<Listener<Each>> = this.#of[name];
    for (const listener of all) listener(...what);
  }
}
