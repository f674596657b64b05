import type { Store } from '../../../collector/index.ts';

/** What sign-in, accounts and the audit trail are made of. */
export interface AccessSource {
  readonly store: Store;
  /** True once accounts are set up: from then on nobody gets in without. */
  required(): boolean;
  /** Ids of guns and air points: what a station account can be for. */
  readonly stations: readonly string[];
  /** Bytes of a cryptographic source. */
  random(bytes: number): Buffer;
  /** How long a session holds, ms. */
  readonly sessionMs: number;
  /** Sessions that one person may have at once; one more ends the oldest. */
  readonly sessionsOfPerson: number;
  /** Something was changed that live connections may depend on. */
  changed(): void;
}
