import type { Store } from '../store/store.ts';
import { AccountWatch } from './account-watch.ts';

/** What follows from a change of accounts. */
export interface AccountChange {
  /** Accounts whose secret ended. */
  readonly ended: readonly string[];
  /** Accounts have just been set up: whoever came in without one has to leave. */
  readonly closed: boolean;
}

/**
 * Knows whether accounts are set up, and what was changed in them. They are once there is one, and for good: taking the last
 * one away must not open the door.
 */
export class AccountKeeper {
  readonly #store: Store;
  readonly #watch: AccountWatch;
  #required: boolean;

  /** @param required set up by the configuration, whether there is an account or not */
  constructor(store: Store, required: boolean) {
    this.#store = store;
    this.#watch = new AccountWatch(store.audit, store.access.stations);
    this.#required = required || store.access.any();
  }

  required(): boolean {
    return this.#required;
  }

  /** An account came in with a secret: should that end before the next look, its connections have to. */
  cameIn(name: string, secret: Uint8Array): void {
    this.#watch.cameIn(name, secret);
  }

  /** Looks whether anything was changed; null for nothing. */
  look(): AccountChange | null {
    const ended = this.#watch.look();
    if (ended === null) return null;
    const closed = !this.#required && this.#store.access.any();
    this.#required ||= closed;
    return { ended, closed };
  }
}
