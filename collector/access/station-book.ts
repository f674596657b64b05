import { AppError } from '../contract/errors.ts';
import { quoted } from '../contract/printable.ts';
import { formatTime } from '../contract/time.ts';
import type { StationAccount, Store } from '../store/store.ts';
import type { Actor } from './actor.ts';
import { newSecret } from './secrets.ts';

const NAME = /^[a-z0-9-]{1,40}$/;

/** What the book needs besides the store. */
export interface BookTools {
  readonly store: Store;
  /** Bytes of a cryptographic source. */
  readonly random: (bytes: number) => Buffer;
}

/** An account with its secret, which is shown now and never again. */
export interface NewStationAccount {
  readonly account: StationAccount;
  readonly secret: string;
}

/**
 * Gives a station, a reader of gun conditions, or a gateway an account.
 *
 * @param stations ids that the plant file has; null where it is not known yet
 * @throws {AppError} ACCOUNT_INVALID: no such station, name taken or not usable
 */
export function addStation(
  { store, random }: BookTools,
  wanted: { readonly name: string; readonly kind: StationAccount['kind'] },
  stations: readonly string[] | null,
  actor: Actor,
): NewStationAccount {
  const { name, kind } = wanted;
  if (!NAME.test(name))
    throw new AppError('ACCOUNT_INVALID', `name: found ${quoted(name)}, expected 1 to 40 of a-z, 0-9 and "-"`);
  if (kind === 'station' && stations !== null && !stations.includes(name))
    throw new AppError('ACCOUNT_INVALID', `name: found ${quoted(name)}, expected a station: ${stations.join(', ')}`);
  if (kind !== 'station' && stations?.includes(name))
    throw new AppError(
      'ACCOUNT_INVALID',
      `name: found ${quoted(name)}, which is a station; name the ${kind} otherwise`,
    );
  const secret = newSecret(random);
  return store.transaction(() => {
    const before = store.access.stations.byName(name);
    if (before !== null)
      throw new AppError(
        'ACCOUNT_INVALID',
        `name: ${quoted(name)} has an account already${before.revokedAt !== null ? ', which was revoked; "rotate --bring-back" lets it in again' : '; "rotate" gives it a new secret'}`,
      );
    const account = store.access.stations.add({ name, kind, hash: secret.hash, createdAt: actor.now });
    audit(store, actor, 'station added', `${name} (${kind})`);
    return { account, secret: secret.text };
  });
}

/**
 * Gives an account a new secret; the one before ends at once, and so do its connections.
 *
 * @param bringBack a revoked account holds again: whoever renews all secrets must not let in by that what was taken away
 * @throws {AppError} NOT_FOUND; ACCOUNT_INVALID: revoked, and not to be brought back
 */
export function rotateStation(
  { store, random }: BookTools,
  name: string,
  actor: Actor,
  bringBack = false,
): NewStationAccount {
  const secret = newSecret(random);
  return store.transaction(() => {
    const { id, revokedAt } = known(store, name);
    if (revokedAt !== null && !bringBack)
      throw new AppError(
        'ACCOUNT_INVALID',
        `name: ${quoted(name)} was revoked at ${formatTime(revokedAt)} and gets no new secret; "station rotate ${name} --bring-back", or "Let in again" under People, brings it back`,
      );
    store.access.stations.setSecret(id, secret.hash, actor.now);
    audit(store, actor, revokedAt === null ? 'station secret changed' : 'station brought back', name);
    return { account: known(store, name), secret: secret.text };
  });
}

/**
 * Takes an account away; its connections end.
 *
 * @throws {AppError} NOT_FOUND
 */
export function revokeStation(store: Store, name: string, actor: Actor): StationAccount {
  return store.transaction(() => {
    const { id, revokedAt } = known(store, name);
    if (revokedAt === null) {
      store.access.stations.revoke(id, actor.now);
      audit(store, actor, 'station revoked', name);
    }
    return known(store, name);
  });
}

function known(store: Store, name: string): StationAccount {
  const account = store.access.stations.byName(name);
  if (account === null) throw new AppError('NOT_FOUND', `no station account is named ${quoted(name)}`);
  return account;
}

function audit(store: Store, { who, origin, now }: Actor, what: string, detail: string): void {
  store.audit.add({ at: now, who, what, detail, origin });
}
