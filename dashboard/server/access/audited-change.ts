import type { Store } from '../../../collector/index.ts';

/** One request that may change something: what it changes and its entry in the audit trail stand or fall together. */
export class AuditedChange {
  readonly #store: Pick<Store, 'transaction'> | null;
  readonly #note: () => void;
  #noted = false;

  /**
   * @param store null where no trail is kept, or the change writes its own entries
   * @param note adds the entry
   */
  constructor(store: Pick<Store, 'transaction'> | null, note: () => void) {
    this.#store = store;
    this.#note = note;
  }

  /**
   * Makes a change in one transaction with its entry.
   *
   * @param write synchronous: what it would do later is in no transaction
   * @param changed whether there is anything to write down
   */
  make<T>(write: () => T, changed: (result: T) => boolean = () => true): T {
    if (this.#store === null) return write();
    return this.#store.transaction(() => {
      const result = write();
      if (changed(result)) this.noted();
      return result;
    });
  }

  /** Adds the entry of a change that was made without `make`: one that others make for us over time. */
  noted(): void {
    if (this.#store === null || this.#noted) return;
    this.#note();
    this.#noted = true;
  }
}
