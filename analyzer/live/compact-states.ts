import type { CheckpointStore } from './checkpoints.ts';

/** Key of a checkpoint: what it belongs to, and its reading time. */
const CHECKPOINT = /^(live\/.+\/)\d{15}$/;

/**
 * Takes away the analyzer's states that a restart can do without: of each computation all checkpoints but the newest. A
 * reading that comes later than that one's time then costs a computation from the start, with the same result.
 */
export function compactStates(states: Pick<CheckpointStore, 'keys' | 'delete'>): void {
  const newest = new Map<string, string>();
  for (const key of states.keys('live/')) {
    const of = CHECKPOINT.exec(key)?.[1];
    if (of === undefined) continue;
    // Keys are sorted, and times have the same number of digits.
    const older = newest.get(of);
    if (older !== undefined) states.delete(older);
    newest.set(of, key);
  }
}
