/** How long an answer that nobody fetches is kept, ms. Source: own choice, the patience of a page (`web/api.ts`). */
const KEPT_MS = 8000;
/** Answers kept at once. Source: own choice, some hundred kilobytes each. */
const KEPT = 4;

/** Answers that are made before they are asked for: who opens a page asks in a moment, once its first bytes have come. */
export class AnswersAhead<Answer> {
  readonly #made = new Map<string, Promise<Answer>>();

  /** Begins an answer; it is handed out once, and forgotten when nobody comes for it. */
  begin(key: string, make: () => Promise<Answer>): void {
    const answer = make();
    // Whoever asks is told of a fault.
    answer.catch(() => undefined);
    this.#made.delete(key);
    this.#made.set(key, answer);
    for (const oldest of this.#made.keys()) {
      if (this.#made.size <= KEPT) break;
      this.#made.delete(oldest);
    }
    setTimeout(() => {
      if (this.#made.get(key) === answer) this.#made.delete(key);
    }, KEPT_MS).unref();
  }

  /** The answer that was begun under this key, to the first who asks; else one that is made now. */
  take(key: string, make: () => Promise<Answer>): Promise<Answer> {
    const made = this.#made.get(key);
    this.#made.delete(key);
    return made ?? make();
  }
}
