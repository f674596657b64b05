import type { AccountKeeper } from '../access/account-keeper.ts';
import type { Broker } from '../broker/broker.ts';
import type { Log } from '../log.ts';

/** How soon what another program changed in the accounts holds, ms. Source: own choice. */
const EVERY_MS = 1_000;

export interface AccountsWatched {
  /** Looks now instead of within a second. */
  look(): void;
  stop(): void;
}

/**
 * Looks every second whether accounts were changed, and sends away whoever may not stay.
 *
 * @param closed told once accounts have been set up
 */
export function watchAccounts(keeper: AccountKeeper, broker: Broker, log: Log, closed: () => void): AccountsWatched {
  const look = (): void => {
    const change = keeper.look();
    if (change === null) return;
    for (const account of change.ended) broker.endAccount(account, 'its account was revoked or has a new secret');
    if (!change.closed) return;
    broker.endAccount('', 'accounts are set up now, and it has none');
    closed();
  };
  const looking = setInterval(() => {
    try {
      look();
    } catch (error) {
      log.error({ error: String(error) }, 'accounts cannot be read; those that were revoked just now still hold');
    }
  }, EVERY_MS);
  return { look, stop: () => clearInterval(looking) };
}
