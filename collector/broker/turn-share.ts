/** Bytes of one connection that are worked on before the others have their turn. Source: own choice, one TCP read of
 * Node's: what a flooding client has in front of another's message. */
const TURN_BYTES = 65_536;

/** How much of the present turn of the event loop one connection has had; several chunks may come in one. */
export class TurnShare {
  #turn = -1;
  #bytes = 0;

  begin(turn: number): void {
    if (turn !== this.#turn) this.#bytes = 0;
    this.#turn = turn;
  }

  /** @returns true when the share is used up */
  spend(bytes: number): boolean {
    this.#bytes += bytes;
    return this.#bytes >= TURN_BYTES;
  }
}
