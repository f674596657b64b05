import { randomBytes } from 'node:crypto';
import { hostname } from 'node:os';
import type { Plant } from '../../collector/contract/index.ts';
import type { Collector, OperationConfig, Store, TlsFiles } from '../../collector/index.ts';
import { type AccessSource, firstAdministrator, welcomePath } from '../server/index.ts';

const DAY_MS = 86_400_000;

/** Sign-in, accounts and the audit trail of a running service. */
export function serviceAccess(
  collector: Collector,
  plant: Plant,
  { accounts }: Pick<OperationConfig, 'accounts'>,
): AccessSource {
  return {
    store: collector.store,
    required: () => collector.accountsRequired(),
    stations: [...plant.guns, ...plant.air].map(({ id }) => id),
    random: randomBytes,
    sessionMs: accounts.sessionDays * DAY_MS,
    sessionsOfPerson: accounts.sessionsOfPerson,
    changed: () => collector.accountsChanged(),
  };
}

/**
 * The one-time link of the administrator as a sentence, while accounts are set up and no administrator has a password.
 *
 * @param url of the service
 * @returns null where an administrator can sign in
 */
export function firstLink({ store, random }: AccessSource, url: string, now: number): string | null {
  const first = firstAdministrator({ store, random }, { who: 'service', origin: 'start of the service', now });
  if (first === null) return null;
  return `no administrator has signed in yet; choose the password of "${first.person.name}" at, once and within 3 days: ${url}${welcomePath(first.link)}`;
}

/** Whether there is an administrator, with or without a password. */
export function hasAdministrator({ access }: Store): boolean {
  return access.people.list().some(({ role, revokedAt }) => role === 'administrator' && revokedAt === null);
}

/** Host names that the service goes by beside its address. */
export function ownHosts(hosts: readonly string[], tls: TlsFiles | null): string[] {
  const machine = hostname();
  return [...hosts, machine, ...(machine.includes('.') ? [] : [`${machine}.local`]), ...(tls?.hosts ?? [])];
}
