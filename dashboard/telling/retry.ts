/** First and longest pause, ms. Source: own choice: soon after a hiccup, hourly through an outage. */
const FIRST_MS = 30_000;
const LONGEST_MS = 3_600_000;
/** Source: own choice: what is two days old is in the digests, and no news. */
const GIVE_UP_MS = 48 * 3_600_000;

/**
 * When a message that failed is tried again: pauses double from half a minute to an hour, each between half and all of that.
 *
 * @param attempts tries that failed, this one included
 * @param random number in [0, 1)
 * @returns epoch ms; null where it is given up
 * @example
 * nextTry({ createdAt: 0, attempts: 1 }, 1000, 0.5); // 23500
 */
export function nextTry(
  { createdAt, attempts }: { readonly createdAt: number; readonly attempts: number },
  now: number,
  random: number,
): number | null {
  const pause = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(attempts - 1, 16)) * (0.5 + random / 2);
  return now + pause - createdAt > GIVE_UP_MS ? null : Math.round(now + pause);
}
