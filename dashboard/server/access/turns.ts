import { AppError } from '../../../collector/contract/index.ts';

/** How much of costly work runs and waits. */
export interface TurnLimits {
  readonly atOnce: number;
  readonly waiting: number;
  /** Running and waiting, of one asker. */
  readonly each: number;
}

/**
 * Lets costly work run a few at a time, in the order asked, and no asker take all the places.
 */
export class Turns {
  readonly #limits: TurnLimits;
  readonly #askers = new Map<string, number>();
  readonly #queue: (() => void)[] = [];
  #running = 0;

  constructor(limits: TurnLimits) {
    this.#limits = limits;
  }

  /**
   * Runs `work` when its turn has come.
   *
   * @param asker whose work it is, e.g. an address
   * @throws {AppError} TOO_MANY when too much waits already, of all or of this asker
   */
  async take<T>(asker: string, work: () => Promise<T>): Promise<T> {
    const { atOnce, waiting, each } = this.#limits;
    const own = this.#askers.get(asker) ?? 0;
    if (own >= each || this.#queue.length >= waiting)
      throw new AppError('TOO_MANY', 'others are being checked just now; try again in some seconds');
    this.#askers.set(asker, own + 1);
    try {
      if (this.#running >= atOnce) await new Promise<void>((resolve) => this.#queue.push(resolve));
      else this.#running += 1;
      try {
        return await work();
      } finally {
        // The place is handed on, so that nobody who comes now gets ahead of who waits.
        const next = this.#queue.shift();
        if (next) next();
        else this.#running -= 1;
      }
    } finally {
      const left = (this.#askers.get(asker) ?? 1) - 1;
      if (left > 0) this.#askers.set(asker, left);
      else this.#askers.delete(asker);
    }
  }
}
