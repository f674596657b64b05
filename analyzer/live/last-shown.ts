import type { LiveUpdate } from './live-update.ts';

/** How often a long way to the newest reading is shown, ms. Source: own choice, because a view costs as much as a step. */
const ON_THE_WAY_MS = 3000;

/** What was shown last, and when. */
export class LastShown {
  #update: LiveUpdate | null = null;
  #at = Number.NEGATIVE_INFINITY;

  /** Null before anything was shown. */
  get update(): LiveUpdate | null {
    return this.#update;
  }

  /**
   * Whether what is known on a long way is worth a view.
   *
   * @param time reading time up to which the site is known, epoch ms: only what was never shown is news
   * @param now wall clock, epoch ms
   */
  isDue(time: number, now: number): boolean {
    return time > (this.#update?.asOf ?? 0) && now - this.#at >= ON_THE_WAY_MS;
  }

  /** @param now wall clock, epoch ms */
  show(update: LiveUpdate, now: number): { readonly update: LiveUpdate } {
    this.#at = now;
    this.#update = update;
    return { update };
  }
}
