import { AppError } from '../../collector/contract/index.ts';

/** Source: own choice, because a phone that lost its network repeats within a shift, and a day of hand-made entries is far below. */
const KEPT = 5000;

interface Kept {
  readonly fingerprint: string;
  readonly answer: Promise<unknown>;
}

/**
 * Remembers what was answered under an idempotency key, so that a request sent again does nothing twice.
 * Holds the newest 5000 keys of this process; a restart forgets them.
 */
export class AnswerMemory {
  readonly #kept = new Map<string, Kept>();

  /**
   * Runs `act` once for a key. The same key with the same request gets the first answer, also while that is
   * still being made; an act that failed is forgotten and may be tried again.
   *
   * @throws {AppError} KEY_REUSED when the key came with another request
   */
  async once<T>(key: string, fingerprint: string, act: () => Promise<T>): Promise<{ answer: T; repeated: boolean }> {
    const known = this.#kept.get(key);
    if (known) {
      if (known.fingerprint !== fingerprint)
        throw new AppError('KEY_REUSED', `Idempotency-Key "${key}" came before with another body; send a new key`);
      return { answer: (await known.answer) as T, repeated: true };
    }
    const answer = act();
    this.#kept.set(key, { fingerprint, answer });
    for (const oldest of this.#kept.keys()) {
      if (this.#kept.size <= KEPT) break;
      this.#kept.delete(oldest);
    }
    try {
      return { answer: await answer, repeated: false };
    } catch (error) {
      this.#kept.delete(key);
      throw error;
    }
  }
}
