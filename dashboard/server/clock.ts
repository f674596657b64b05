/** Time as the dashboard sees it, so that tests can hold it still. */
export interface Clock {
  /** Epoch ms. */
  now(): number;
  /** Calls `action` every `ms` until the returned function is called. */
  every(ms: number, action: () => void): () => void;
  /** Calls `action` once after `ms` unless the returned function is called before. */
  after(ms: number, action: () => void): () => void;
}

/** The machine's own timers around a given `now`; they never keep the program alive. */
export function timersAround(now: () => number): Clock {
  return {
    now,
    every(ms, action) {
      const timer = setInterval(action, ms).unref();
      return () => clearInterval(timer);
    },
    after(ms, action) {
      const timer = setTimeout(action, ms).unref();
      return () => clearTimeout(timer);
    },
  };
}
