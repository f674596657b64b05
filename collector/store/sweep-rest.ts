/**
 * How many times as long as a step took a sweep rests after it, while the tail is no longer than it has to be. Source: own choice: a
 * twentieth of the thread turns some 15 000 packs a second into chunks, more than a plant sends; measured, with no rest one
 * client that sends as fast as it can got through a third less.
 */
const REST = 20;

/**
 * How long the tail's way into chunks rests, so that commits do not wait for it: a burst becomes chunks behind itself, and only a tail
 * that goes on growing takes the commits' time.
 *
 * @param tookMs the step before
 * @param urgency how much has gathered, as a share of what may
 */
export function sweepRestMs(tookMs: number, urgency: number): number {
  return REST * tookMs * Math.max(0, 1 - urgency);
}
