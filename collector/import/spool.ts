import { deserialize, serialize } from 'node:v8';
import type { Pack } from '../contract/frames.ts';
import type { States } from '../store/store.ts';

const PREFIX = 'import/spool/';

/** Some readings of an import, and counts that go with them. */
export interface ImportPiece {
  readonly packs: readonly Pack[];
  readonly counters: Readonly<Record<string, number>>;
}

/**
 * Pieces of imports that the process which writes readings is to take over: only one may write them, and while the service runs
 * that is the service.
 */
export class Spool {
  readonly #states: States;

  constructor(states: States) {
    this.#states = states;
  }

  /** Keys of what waits, in the order of handing over. */
  waiting(): string[] {
    return this.#states.keys(PREFIX);
  }

  /** @param order a number that grows; with `source` it tells pieces of several imports apart */
  put(order: number, source: string, piece: ImportPiece): void {
    this.#states.put(`${PREFIX}${String(order).padStart(16, '0')}-${source}`, serialize(piece));
  }

  take(key: string): ImportPiece | null {
    const bytes = this.#states.get(key);
    return bytes === null ? null : (deserialize(bytes) as ImportPiece);
  }

  done(key: string): void {
    this.#states.delete(key);
  }
}
