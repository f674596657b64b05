import type { Clock } from '../../dashboard/server/index.ts';

interface Due {
  at: number;
  readonly action: () => void;
  /** Null for once. */
  readonly everyMs: number | null;
}

/** A clock that stands still until it is moved; what falls due on the way is done in order. */
export function manualClock(start: number): Clock & { advance(ms: number): void } {
  let now = start;
  const due = new Set<Due>();
  const add = (entry: Due): (() => void) => {
    due.add(entry);
    return () => due.delete(entry);
  };
  return {
    now: () => now,
    every: (ms, action) => add({ at: now + ms, action, everyMs: ms }),
    after: (ms, action) => add({ at: now + ms, action, everyMs: null }),
    advance(ms) {
      const end = now + ms;
      for (;;) {
        const next = [...due].filter(({ at }) => at <= end).sort((a, b) => a.at - b.at)[0];
        if (!next) break;
        now = next.at;
        if (next.everyMs === null) due.delete(next);
        else next.at += next.everyMs;
        next.action();
      }
      now = end;
    },
  };
}
