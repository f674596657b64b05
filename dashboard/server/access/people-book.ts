import { AppError, quoted, type Role } from '../../../collector/contract/index.ts';
import { type Actor, type BookTools, newSecret, type Person, type Store } from '../../../collector/index.ts';

/** How long a link to choose a password holds, ms. Source: own choice, because it is handed over in person or in the same week. */
const LINK_MS = 3 * 86_400_000;

/** Letters, digits and what names have between them; no control or formatting characters. */
const NAME = /^[\p{L}\p{N}](?:[\p{L}\p{M}\p{N} .'_@-]{0,58}[\p{L}\p{M}\p{N}.])?$/u;
/** Said of the service itself and of who is not signed in. */
const TAKEN = ['local', 'nobody', 'service'];

/** A person, and the token of the link by which they choose a password: shown now and never again. */
export interface Invited {
  readonly person: Person;
  readonly link: string;
}

/**
 * Gives a person an account.
 *
 * @throws {AppError} ACCOUNT_INVALID: name taken or not usable
 */
export function addPerson(tools: BookTools, wanted: { name: string; role: Role }, actor: Actor): Invited {
  const { store } = tools;
  const name = wanted.name.normalize('NFKC');
  if (!NAME.test(name) || TAKEN.includes(name.toLowerCase()))
    throw new AppError(
      'ACCOUNT_INVALID',
      `name: found ${quoted(wanted.name)}, expected 1 to 60 letters, digits, spaces and . ' _ @ -, and none of ${TAKEN.join(', ')}`,
    );
  return store.transaction(() => {
    const before = store.access.people.byName(name);
    if (before !== null)
      throw new AppError(
        'ACCOUNT_INVALID',
        `name: ${quoted(name)} has an account already${before.revokedAt === null ? '' : '; it was revoked and can be restored'}`,
      );
    const person = store.access.people.add({ name, role: wanted.role, password: null, createdAt: actor.now });
    audit(store, actor, 'person added', `${name} (${wanted.role})`);
    return { person, link: addLink(tools, person, actor) };
  });
}

/**
 * Makes a new link by which a person chooses a password, in place of earlier ones.
 *
 * @throws {AppError} NOT_FOUND; ACCOUNT_INVALID for an account that was revoked
 */
export function linkFor(tools: BookTools, name: string, actor: Actor): Invited {
  return tools.store.transaction(() => {
    const person = holding(tools.store, name);
    tools.store.access.people.dropLinks(person.id);
    audit(tools.store, actor, 'link made', person.name);
    return { person, link: addLink(tools, person, actor) };
  });
}

/** @throws {AppError} NOT_FOUND; ACCOUNT_INVALID when it is the last administrator's or was revoked */
export function setRole(store: Store, name: string, role: Role, actor: Actor): Person {
  return store.transaction(() => {
    const person = holding(store, name);
    if (role !== 'administrator') keepAdministrator(store, person);
    if (person.role !== role) {
      store.access.people.setRole(person.id, role);
      audit(store, actor, 'role changed', `${person.name}: ${person.role} to ${role}`);
    }
    return { ...person, role };
  });
}

/**
 * Takes an account away: its sessions and links end.
 *
 * @throws {AppError} NOT_FOUND; ACCOUNT_INVALID when it is the last administrator's
 */
export function revokePerson(store: Store, name: string, actor: Actor): Person {
  return store.transaction(() => {
    const person = known(store, name);
    if (person.revokedAt !== null) return person;
    keepAdministrator(store, person);
    store.access.people.revoke(person.id, actor.now);
    store.access.people.dropLinks(person.id);
    store.access.sessions.end(person.id, actor.now);
    audit(store, actor, 'person revoked', person.name);
    return { ...person, revokedAt: actor.now };
  });
}

/** Gives a revoked account back, with its password and role. @throws {AppError} NOT_FOUND */
export function restorePerson(store: Store, name: string, actor: Actor): Person {
  return store.transaction(() => {
    const person = known(store, name);
    if (person.revokedAt === null) return person;
    store.access.people.restore(person.id);
    audit(store, actor, 'person restored', person.name);
    return { ...person, revokedAt: null };
  });
}

/** Ends all sessions of a person. @returns how many @throws {AppError} NOT_FOUND */
export function signOutEverywhere(store: Store, name: string, actor: Actor): number {
  return store.transaction(() => {
    const person = known(store, name);
    const ended = store.access.sessions.end(person.id, actor.now);
    audit(store, actor, 'signed out everywhere', `${person.name}: ${ended}`);
    return ended;
  });
}

/**
 * A one-time link for the administrator, while none has chosen a password yet. Links that others made for them go on to hold.
 *
 * @returns null where an administrator can sign in
 */
export function firstAdministrator(tools: BookTools, actor: Actor): Invited | null {
  const { store } = tools;
  return store.transaction(() => {
    const administrators = store.access.people
      .list()
      .filter(({ role, revokedAt }) => role === 'administrator' && revokedAt === null);
    if (administrators.some(({ password }) => password !== null)) return null;
    const person = administrators[0] ?? administrator(tools, actor);
    audit(store, actor, 'link made', person.name);
    return { person, link: addLink(tools, person, actor) };
  });
}

/** The account of that name, made or given back. */
function administrator(tools: BookTools, actor: Actor): Person {
  const wanted = { name: 'administrator', role: 'administrator' } as const;
  if (tools.store.access.people.byName(wanted.name) === null) return addPerson(tools, wanted, actor).person;
  restorePerson(tools.store, wanted.name, actor);
  return setRole(tools.store, wanted.name, wanted.role, actor);
}

function addLink({ store, random }: BookTools, person: Person, { now }: Actor): string {
  const secret = newSecret(random);
  store.access.people.addLink(person.id, secret.hash, now + LINK_MS);
  return secret.text;
}

/** Nobody may lock everybody out of the accounts. */
function keepAdministrator(store: Store, person: Person): void {
  const others = store.access.people.list().filter(({ id, role, revokedAt, password }) => {
    return id !== person.id && role === 'administrator' && revokedAt === null && password !== null;
  });
  if (person.role === 'administrator' && person.password !== null && others.length === 0)
    throw new AppError('ACCOUNT_INVALID', `${person.name} is the last administrator; name another one first`);
}

function holding(store: Store, name: string): Person {
  const person = known(store, name);
  if (person.revokedAt !== null)
    throw new AppError('ACCOUNT_INVALID', `name: the account of ${quoted(person.name)} was revoked; restore it first`);
  return person;
}

function known(store: Store, name: string): Person {
  const person = store.access.people.byName(name.normalize('NFKC'));
  if (person === null) throw new AppError('NOT_FOUND', `nobody is named ${quoted(name)}`);
  return person;
}

function audit(store: Store, { who, origin, now }: Actor, what: string, detail: string): void {
  store.audit.add({ at: now, who, what, detail, origin });
}
