import { AppError, counted, printable } from '../../../collector/contract/index.ts';
import { newSecret, type Person, secretHash } from '../../../collector/index.ts';
import type { AccessSource } from './access-source.ts';
import { passwordFault, passwordMatches, passwordRecord } from './password.ts';
import { Throttle } from './throttle.ts';
import { Turns } from './turns.ts';

/**
 * Passwords that are checked at once (128 MiB and a core each), that may wait, and of one address. Source: two at once is
 * what a small machine bears beside its work; the rest own choice: the last one waits half a minute.
 */
const TURNS = { atOnce: 2, waiting: 24, each: 4 } as const;

const LONGEST_AGENT = 200;

/** Where a request came from. */
export interface From {
  readonly address: string;
  readonly agent: string;
  /** Wall clock, epoch ms. */
  readonly now: number;
}

/** Somebody who has just signed in, with the secret of their new session. */
export interface SignedIn {
  readonly person: Person;
  readonly secret: string;
}

/** Passwords: signs people in, and lets them choose theirs. */
export class SignIn {
  readonly #source: AccessSource;
  readonly #throttle = new Throttle();
  readonly #turns = new Turns(TURNS);

  constructor(source: AccessSource) {
    this.#source = source;
  }

  /**
   * Signs a person in.
   *
   * @throws {AppError} SIGN_IN_REFUSED, the same for a wrong name, a wrong password and a revoked account; TOO_MANY
   */
  async signIn(name: string, password: string, from: From): Promise<SignedIn> {
    const person = this.#source.store.access.people.byName(name.normalize('NFKC'));
    await this.#check(person, name, password, from);
    // Checked above; a person who was revoked meanwhile is refused here.
    const still = person === null ? null : this.#source.store.access.people.byId(person.id);
    if (still === null || still.revokedAt !== null) throw refused();
    return this.#open(still, from, 'signed in');
  }

  /**
   * Lets the owner of a one-time link choose a password, and signs them in; the link ends with it, and so do other sessions.
   *
   * @throws {AppError} SIGN_IN_REFUSED: the link does not hold (any more); ACCOUNT_INVALID: not a usable password; TOO_MANY
   */
  async welcome(link: string, password: string, from: From): Promise<SignedIn> {
    const hash = secretHash(link);
    const { store } = this.#source;
    const owner = (): Person | null => {
      const person = store.access.people.personOfLink(hash, from.now);
      return person === null || person.revokedAt !== null ? null : person;
    };
    const before = owner();
    if (before === null) throw new AppError('SIGN_IN_REFUSED', 'this link does not hold any more; ask for a new one');
    const record = await this.#record(password, before, from);
    return store.transaction(() => {
      // Whoever was faster with the same link has used it up.
      const person = owner();
      if (person === null) throw new AppError('SIGN_IN_REFUSED', 'this link was just used; ask for a new one');
      this.#setPassword(person, record, from, null);
      return this.#open({ ...person, password: record }, from, 'signed in by link');
    });
  }

  /**
   * Changes a person's own password; their other sessions end.
   *
   * @param session the one that stays
   * @throws {AppError} SIGN_IN_REFUSED: the current one is wrong; ACCOUNT_INVALID: the new one is not usable; TOO_MANY
   */
  async change(person: Person, words: { current: string; next: string }, session: number, from: From): Promise<void> {
    await this.#check(person, person.name, words.current, from);
    const record = await this.#record(words.next, person, from);
    this.#source.store.transaction(() => this.#setPassword(person, record, from, session));
  }

  async #check(person: Person | null, name: string, password: string, { address, now }: From): Promise<void> {
    const { sessions } = this.#source.store.access;
    const familiar = person !== null && sessions.cameFrom(person.id, address);
    const wait = this.#throttle.waitMs(name, address, familiar, now);
    if (wait > 0)
      throw new AppError(
        'TOO_MANY',
        `too many tries went wrong; try again in ${counted(Math.ceil(wait / 1000), 'second')}`,
      );
    const right = await this.#turns.take(address, () => {
      this.#throttle.tried(name, address, now);
      return passwordMatches(password, person?.revokedAt === null ? person.password : null);
    });
    if (!right) throw refused();
    this.#throttle.succeeded(name, address);
  }

  async #record(password: string, { name }: Person, { address }: From): Promise<string> {
    const fault = passwordFault(password, name);
    if (fault !== null) throw new AppError('ACCOUNT_INVALID', `password: ${fault}`);
    return this.#turns.take(address, () => passwordRecord(password, this.#source.random(16)));
  }

  #setPassword(person: Person, record: string, { address, now }: From, session: number | null): void {
    const { access, audit } = this.#source.store;
    access.people.setPassword(person.id, record);
    access.people.dropLinks(person.id);
    access.sessions.end(person.id, now, session === null ? {} : { except: session });
    audit.add({ at: now, who: person.name, what: 'password changed', detail: '', origin: address });
  }

  #open(person: Person, { address, agent, now }: From, what: string): SignedIn {
    const { store, random, sessionMs, sessionsOfPerson } = this.#source;
    const { text, hash } = newSecret(random);
    const session = { person: person.id, createdAt: now, expiresAt: now + sessionMs, address };
    store.transaction(() => {
      store.access.sessions.add(hash, { ...session, agent: printable(agent, LONGEST_AGENT) }, sessionsOfPerson);
      store.audit.add({ at: now, who: person.name, what, detail: '', origin: address });
    });
    return { person, secret: text };
  }
}

const refused = (): AppError => new AppError('SIGN_IN_REFUSED', 'name and password do not belong together');
