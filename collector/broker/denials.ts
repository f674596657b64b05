/** Kinds of attempts of one client that are told; what comes beyond is counted. Source: own choice, because a log is read by people. */
const MOST_TOLD = 20;

/** What one connection has tried and may not: each is told once. */
export class Denials {
  readonly #told = new Set<string>();

  /** @returns true the first time that this is tried */
  isNews(what: string): boolean {
    if (this.#told.has(what) || this.#told.size >= MOST_TOLD) return false;
    this.#told.add(what);
    return true;
  }
}
