import type { Audit, StationAccounts } from '../store/store.ts';
import { sameHash } from './secrets.ts';

/**
 * Notices that accounts were changed, by this program or another one on the same folder: every change of accounts leaves an
 * entry in the audit trail, so one look at its highest id tells whether there is anything to look for.
 */
export class AccountWatch {
  readonly #audit: Audit;
  readonly #accounts: StationAccounts;
  #lastId: number;
  #secrets: Map<string, Uint8Array>;

  constructor(audit: Audit, accounts: StationAccounts) {
    this.#audit = audit;
    this.#accounts = accounts;
    this.#lastId = audit.lastId();
    this.#secrets = secretsOf(accounts);
  }

  /**
   * An account came in with a secret. One that was set up since the last look is not known yet, and might be revoked, or get
   * another secret, before the next; one that is known already keeps what the last look saw, or a change would go unseen.
   */
  cameIn(name: string, secret: Uint8Array): void {
    if (!this.#secrets.has(name)) this.#secrets.set(name, secret);
  }

  /** Accounts that were revoked, or got another secret, since the last look; null where nothing at all was changed. */
  look(): readonly string[] | null {
    const lastId = this.#audit.lastId();
    if (lastId === this.#lastId) return null;
    this.#lastId = lastId;
    const before = this.#secrets;
    this.#secrets = secretsOf(this.#accounts);
    return [...before].flatMap(([name, secret]) => {
      const now = this.#secrets.get(name);
      return now !== undefined && sameHash(now, secret) ? [] : [name];
    });
  }
}

function secretsOf(accounts: StationAccounts): Map<string, Uint8Array> {
  return new Map(
    accounts
      .list()
      .map(({ name }) => [name, accounts.secretOf(name)] as const)
      .filter((pair): pair is readonly [string, Uint8Array] => pair[1] !== null),
  );
}
