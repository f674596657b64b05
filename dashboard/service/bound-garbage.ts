import { setFlagsFromString } from 'node:v8';

/**
 * Old garbage that may gather in a thread before it is collected, percent of what is alive. Source: own choice: V8 itself
 * lets it come to 300 where memory is plenty, which looks like a leak for half an hour; collecting some 40 MB takes
 * it tens of milliseconds, mostly beside the program, every few seconds.
 */
const OLD_PERCENT = 20;
/** Young objects of a thread take up to three times this, MB. Source: own choice, half of V8's. */
const YOUNG_MB = 8;

/**
 * Bounds the garbage of all threads of this process, so that the memory of a service that runs for years is soon what it
 * stays. Call it before threads are started: how much is young is settled then, and for the first thread before.
 */
export function boundGarbage(): void {
  setFlagsFromString(`--heap-growing-percent=${OLD_PERCENT}`);
  setFlagsFromString(`--max-semi-space-size=${YOUNG_MB}`);
}
