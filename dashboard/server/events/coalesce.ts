import type { Clock } from '../clock.ts';

/**
 * Calls `act` soon after each call of `ask`, at most once per `gapMs`: at once when it was quiet, else at the
 * end of the gap, so that the last change is never left unshown.
 */
export function coalesce(clock: Clock, gapMs: number, act: () => void): { ask: () => void; stop: () => void } {
  let last = Number.NEGATIVE_INFINITY;
  let cancel: (() => void) | null = null;
  const run = (): void => {
    cancel = null;
    last = clock.now();
    act();
  };
  return {
    ask() {
      if (cancel) return;
      const wait = last + gapMs - clock.now();
      // A clock that was set back must not hold changes back for longer than the gap.
      cancel = clock.after(Math.min(gapMs, Math.max(0, wait)), run);
    },
    stop() {
      cancel?.();
      cancel = null;
    },
  };
}
