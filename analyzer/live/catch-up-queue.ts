/** Something that can be behind the readings, by reading time, epoch ms. */
interface Behind {
  readonly lastTime: number;
}

/** Who has readings to look at, and whose turn it is: those that lag most come first, so that stations keep together. */
export class CatchUpQueue<One extends Behind> {
  readonly #behind = new Set<One>();
  /** Of one round, the first one last. */
  #round: One[] = [];

  get size(): number {
    return this.#behind.size;
  }

  add(one: One): void {
    this.#behind.add(one);
  }

  /** Takes the next one out; null when nobody is behind. */
  next(): One | null {
    while (this.#behind.size > 0) {
      if (this.#round.length === 0)
        this.#round = [...this.#behind].sort((left, right) => right.lastTime - left.lastTime);
      const one = this.#round.pop()!;
      if (this.#behind.delete(one)) return one;
    }
    return null;
  }
}
