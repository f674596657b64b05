/** Stage two rests for this many times what it took, so that readings and screens get their share. Source: own choice. */
const REST = 3;
const SHORTEST_REST_MS = 200;

/** Readings that stop for this long are taken to be all of a backlog, ms. Source: own choice, because packs of a
 * backlog follow each other within milliseconds. */
const QUIET_MS = 700;

/** However long it takes to compute anew, it is done this often while a backlog pours in, ms. Source: own choice. */
const LONGEST_REST_MS = 15_000;

/**
 * While more comes than stations send live, the analysis leaves the processors to those who take it in, for so long; then it works for so long,
 * and so on, ms. Source: own choice: as long as stage two may rest in a backlog, and a quarter of the time for both stages.
 */
const ASIDE_MS = LONGEST_REST_MS;
const WORKING_MS = 5_000;

/** When the stages may work: at once when things are quiet, seldom while old readings pour in. Times are of one clock, ms. */
export interface Pace {
  /** Readings arrived; `isBurst`: more than stations send live. */
  arrived(now: number, isBurst: boolean): void;
  /** How long both stages should leave the processors to a burst, ms; 0 or less: not at all. */
  aside(now: number): number;
  /** A slice of work that covered `spanMs` of reading time. */
  worked(began: number, ended: number, spanMs: number): void;
  /** `againMs` of reading time have to be gone through anew. */
  rewound(now: number): void;
  /** All is done. */
  finished(now: number): void;
  /**
   * How long stage two should wait, ms; 0 or less: not at all.
   *
   * @param againMs reading time that has to be gone through anew
   */
  wait(now: number, againMs: number): number;
}

/** A pace that has seen nothing. */
export function startPace(): Pace {
  let arrivedAt = Number.NEGATIVE_INFINITY;
  let restsFrom = Number.NEGATIVE_INFINITY;
  let restMs = 0;
  let sinceFinishedMs = 0;
  let slowness = 0;
  let burstFrom: number | null = null;
  return {
    arrived: (now, isBurst) => {
      arrivedAt = now;
      // The earlier of both: the clock may have been set back.
      burstFrom = isBurst ? Math.min(burstFrom ?? now, now) : null;
    },
    aside: (now) => {
      if (burstFrom === null) return 0;
      return Math.min(arrivedAt + QUIET_MS - now, ASIDE_MS - ((now - burstFrom) % (ASIDE_MS + WORKING_MS)));
    },
    worked: (began, ended, spanMs) => {
      sinceFinishedMs += ended - began;
      if (spanMs > 0) slowness += 0.2 * ((ended - began) / spanMs - slowness);
    },
    rewound: (now) => {
      restsFrom = now;
    },
    finished: (now) => {
      restsFrom = now;
      restMs = REST * sinceFinishedMs;
      sinceFinishedMs = 0;
    },
    wait: (now, againMs) => {
      const quiet = arrivedAt + QUIET_MS - now;
      const rest = Math.max(SHORTEST_REST_MS, againMs > 0 ? Math.max(restMs, REST * slowness * againMs) : restMs);
      return Math.min(quiet, restsFrom + Math.min(LONGEST_REST_MS, rest) - now);
    },
  };
}
