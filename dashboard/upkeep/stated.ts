import { AppError } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import type { By, Stated } from '../server/index.ts';

/** As it is kept: what was set, and in a few words what that did, for the journal. */
interface Body {
  readonly value: unknown;
  readonly did: string;
}

/** What people set, version by version, each under a name of its own. A writer names the version that they have seen. */
export class StatedBook {
  readonly #store: Store;
  readonly #now: () => number;
  /** Newest versions by name; read anew when another program may have written. */
  #known: { at: number; all: Map<string, Stated<unknown>> } | null = null;

  constructor(store: Store, now: () => number) {
    this.#store = store;
    this.#now = now;
  }

  /** @param usual what holds while nobody has set anything */
  get<T>(subject: string, read: (value: unknown) => T, usual: T): Stated<T> {
    const found = this.#all().get(subject);
    return found === undefined
      ? { version: 0, value: usual, who: '', at: null }
      : { ...found, value: found.value === null ? usual : read(found.value) };
  }

  /** Names that begin so, sorted. */
  names(prefix: string): string[] {
    return [...this.#all().keys()].filter((name) => name.startsWith(prefix)).sort();
  }

  /**
   * @param did what this does, in a few words
   * @throws {AppError} EDITED_MEANWHILE when somebody else wrote since
   */
  state(subject: string, value: unknown, did: string, { who, seen }: By): void {
    this.#store.figures.state(subject, { value, did } satisfies Body, { who, seen, recordedAt: this.#now() });
    this.#known = null;
  }

  /**
   * Puts back what was there before the newest version, as a version of its own.
   *
   * @throws {AppError} NOT_FOUND when nothing was set; EDITED_MEANWHILE
   */
  undo(subject: string, { who, seen }: By): void {
    const versions = this.#store.figures.history().filter((one) => one.subject === subject);
    const last = versions.at(-1);
    if (last === undefined) throw new AppError('NOT_FOUND', `nothing was set for ${subject}: there is nothing to undo`);
    const before = versions.at(-2);
    const value = before === undefined ? null : (before.body as Body).value;
    this.state(subject, value, `undid: ${(last.body as Body).did}`, { who, seen });
  }

  #all(): Map<string, Stated<unknown>> {
    const now = this.#now();
    // Source: own choice, because what is set on the command line may show two seconds later.
    if (this.#known !== null && now - this.#known.at < 2000 && now >= this.#known.at) return this.#known.all;
    const all = new Map<string, Stated<unknown>>();
    for (const prefix of ['job:', 'rule:', 'calendar', 'service:'])
      for (const { subject, version, body, recordedAt, who } of this.#store.figures.currentOf(prefix))
        all.set(subject, { version, value: (body as Body).value, who, at: recordedAt });
    this.#known = { at: now, all };
    return all;
  }
}
