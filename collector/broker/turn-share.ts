/**
 * Bytes of one connection that are worked on before the others have their turn. Source: own choice: some 55 packs, so that of a
 * client with a hundred under way one half is decoded while the other is being committed; measured, with 32 KiB nearly all of them are in one commit, for
 * which the client waits, and 8 KiB make commits too small on a quick disk.
 */
const TURN_BYTES = 20_480;

/**
 * The same of all connections together; beyond, each has one more packet. Source: own choice: some 150 packs, a
 * millisecond: so soon commits begin, and acknowledgements leave, while many send at once.
 */
const TURN_BYTES_OF_ALL = 65_536;

/** One turn of the event loop, as all connections share it. */
export class SharedTurn {
  number = 0;
  #bytes = 0;

  next(): void {
    this.number++;
    this.#bytes = 0;
  }

  spend(bytes: number): void {
    this.#bytes += bytes;
  }

  get over(): boolean {
    return this.#bytes >= TURN_BYTES_OF_ALL;
  }
}

/** How much of the present turn one connection has had; several chunks may come in one. */
export class TurnShare {
  #turn = -1;
  #bytes = 0;

  /** @returns true when its share of this turn, or that of all, is used up */
  spend(bytes: number, turn: SharedTurn): boolean {
    if (turn.number !== this.#turn) this.#bytes = 0;
    this.#turn = turn.number;
    this.#bytes += bytes;
    turn.spend(bytes);
    return turn.over || this.#bytes >= TURN_BYTES;
  }
}
