import type { Role } from '../contract/roles.ts';

// Who may do what, as a store keeps it. Times are epoch ms. Secrets come and go as their SHA-256 only.

/** Somebody who signs in. */
export interface Person {
  readonly id: number;
  /** Unique, whatever its capitals; never given to somebody else. */
  readonly name: string;
  readonly role: Role;
  /** As `passwordRecord` writes it; null until one was chosen. */
  readonly password: string | null;
  readonly createdAt: number;
  /** Null while the account holds. */
  readonly revokedAt: number | null;
}

export interface People {
  add(person: { name: string; role: Role; password: string | null; createdAt: number }): Person;
  byName(name: string): Person | null;
  byId(id: number): Person | null;
  /** By name. */
  list(): Person[];
  setRole(id: number, role: Role): void;
  setPassword(id: number, password: string): void;
  revoke(id: number, at: number): void;
  restore(id: number): void;
  /** Adds a link to choose a password. */
  addLink(person: number, hash: Uint8Array, expiresAt: number): void;
  /** Whose link this is; null where there is none that holds at `now`. */
  personOfLink(hash: Uint8Array, now: number): Person | null;
  dropLinks(person: number): void;
}

/** A browser that is signed in. */
export interface Session {
  readonly id: number;
  readonly person: number;
  readonly createdAt: number;
  readonly expiresAt: number;
  /** Last request, to within some minutes. */
  readonly seenAt: number;
  readonly address: string;
  /** What the browser calls itself. */
  readonly agent: string;
}

export interface Sessions {
  /**
   * Also forgets sessions that ended or expired a while before.
   *
   * @param most sessions that the person may have then; the oldest end
   */
  add(hash: Uint8Array, session: Omit<Session, 'id' | 'seenAt'>, most: number): Session;
  /** Null where it ended, expired or never was. */
  find(hash: Uint8Array, now: number): Session | null;
  /** Those that hold at `now`, newest first; of one person or of all. */
  list(now: number, person?: number): Session[];
  seen(id: number, at: number): void;
  /** Ends those of a person, or one of them, or all but one; returns how many. */
  end(person: number, at: number, which?: { readonly only?: number; readonly except?: number }): number;
  /** Whether this person has signed in from this address before. */
  cameFrom(person: number, address: string): boolean;
}

/** A secret of a program, or of a wall's link. */
export interface Token {
  readonly id: number;
  readonly kind: 'api' | 'wall';
  readonly name: string;
  readonly role: Role;
  readonly createdAt: number;
  readonly revokedAt: number | null;
}

export interface Tokens {
  add(hash: Uint8Array, token: Omit<Token, 'id' | 'revokedAt'>): Token;
  /** Null where it was revoked or never was. */
  find(hash: Uint8Array): Token | null;
  byId(id: number): Token | null;
  list(): Token[];
  revoke(id: number, at: number): void;
}

/** Who connects over MQTT: a station's sensor node, a reader of gun conditions, or a gateway of topics that are mapped. */
export interface StationAccount {
  readonly id: number;
  /** Of a `station` its station id. Unique, and never given to something else. */
  readonly name: string;
  readonly kind: 'station' | 'reader' | 'gateway';
  readonly createdAt: number;
  readonly rotatedAt: number | null;
  readonly revokedAt: number | null;
}

export interface StationAccounts {
  add(account: { name: string; kind: StationAccount['kind']; hash: Uint8Array; createdAt: number }): StationAccount;
  byName(name: string): StationAccount | null;
  /** Null where the account was revoked or never was. */
  secretOf(name: string): Uint8Array | null;
  /** By name. */
  list(): StationAccount[];
  /** Also brings a revoked account back. */
  setSecret(id: number, hash: Uint8Array, at: number): void;
  revoke(id: number, at: number): void;
}

export interface AccessRecords {
  readonly people: People;
  readonly sessions: Sessions;
  readonly tokens: Tokens;
  readonly stations: StationAccounts;
  /** Whether anybody or anything was ever given an account: from then on nobody gets in without. */
  any(): boolean;
}

/** Something that was changed. */
export interface AuditEntry {
  readonly id: number;
  readonly at: number;
  /** Name of a person or program. */
  readonly who: string;
  /** What was done, e.g. `POST /api/log`. */
  readonly what: string;
  readonly detail: string;
  /** Where from: an address, or `command line`. */
  readonly origin: string;
}

/** What was changed by whom: entries are added, and neither changed nor taken away. */
export interface Audit {
  add(entry: Omit<AuditEntry, 'id'>): AuditEntry;
  /** Newest first. */
  list(filter?: { beforeId?: number; who?: string; limit?: number }): AuditEntry[];
  /** Highest id given so far, 0 when empty: compare it to learn that something was changed, by whatever process. */
  lastId(): number;
}
