import { formatTime } from '../../collector/contract/index.ts';
import { type Audit, runsFrom, type States } from '../../collector/index.ts';

/** Runs that retention took away: the analysis cannot begin before those that are left, and says so where it has to. */
export class GoneRuns {
  readonly #store: { readonly states: Pick<States, 'get'>; readonly audit: Pick<Audit, 'add'> };
  #beganAt: number | null = null;

  constructor(store: { readonly states: Pick<States, 'get'>; readonly audit: Pick<Audit, 'add'> }) {
    this.#store = store;
  }

  /** Reading time from which all runs are there, epoch ms; 0 where none were taken away. */
  get from(): number {
    return runsFrom(this.#store.states);
  }

  /**
   * Stage two goes on.
   *
   * @param time up to which it knows everything; 0 where it begins
   * @returns `from`
   */
  goingOn(time: number): number {
    const { from } = this;
    if (time === 0 && from > 0) this.#beganAt = from;
    return from;
  }

  /** True when `tell` has something to say. */
  get isUntold(): boolean {
    return this.#beganAt !== null;
  }

  /** Writes down that the analysis began anew. @param at wall clock, epoch ms */
  tell(at: number): void {
    if (this.#beganAt === null) return;
    const detail = `spray runs of before ${formatTime(this.#beganAt)} are not kept any more: it begins there, and findings of before stay as they were found; those that were open end there`;
    this.#store.audit.add({ at, who: 'service', origin: 'analysis', what: 'analysis begun anew', detail });
    this.#beganAt = null;
  }
}
