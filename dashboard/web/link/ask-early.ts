import { ask } from '../api.ts';

/** Questions that are on their way before the screen that has them is there, by path. */
const early = new Map<string, Promise<unknown>>();

/** Asks now what a screen that is being loaded will ask for. */
export function askEarly(path: string): void {
  const answer = ask<unknown>(path);
  early.set(path, answer);
  // Whoever asks is told of a fault; a screen that never comes needs none.
  answer.catch(() => undefined);
}

/**
 * The answer that was asked for early, to the first who asks for it; else asks now.
 *
 * @throws {ApiFault} with the sentence to show
 */
export function askOnce<T>(path: string): Promise<T> {
  const known = early.get(path);
  early.delete(path);
  return (known as Promise<T> | undefined) ?? ask<T>(path);
}
