/** First and longest pause before a broker is tried again, ms. Source: own choice: soon after a restart, and without hammering. */
const FIRST_MS = 100;
const LONGEST_MS = 30_000;

/**
 * Pause before the next attempt: doubled with every failure, and anything between half and all of that, so that many clients
 * do not come back in one moment.
 *
 * @param failures attempts that failed in a row, 0 after a connection that had worked
 * @param random number in [0, 1)
 * @returns ms
 * @example
 * backOffMs(2, 0.5); // 300
 */
export function backOffMs(failures: number, random: number): number {
  const whole = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(failures, 16));
  return Math.round(whole * (0.5 + random / 2));
}
