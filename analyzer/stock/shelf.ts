import type { LogEntry } from '../../collector/contract/index.ts';

/** A line of the shelf's ledger that counts. */
export interface ShelfMove {
  readonly time: number;
  readonly kind: 'counted' | 'delivered' | 'taken' | 'ordered';
  readonly quantity: number;
}

/** One part on the shelf, as ledger and log have it. */
export interface Shelf {
  /** Pieces on the shelf; below 0: so many more were used than were there. Null before the first count or delivery. */
  readonly onHand: number | null;
  /** Pieces ordered and not delivered. */
  readonly onOrder: number;
  readonly countedAt: number | null;
  /** Changes since the last count that took from the shelf. */
  readonly usedSinceCount: number;
}

/** One step of a shelf's story: what happened and how many there were after it. */
export interface ShelfStep {
  readonly time: number;
  readonly kind: ShelfMove['kind'] | 'used';
  readonly change: number;
  readonly onHand: number;
}

/**
 * What is on the shelf: the last count, and what came and went since, by the time at which it happened. Every logged change of the
 * part took `perChange` from it, once, however often it was sent; an entry that was taken back gives it back by not counting.
 *
 * More may be used than was there, because a change that was made is a fact: the level then falls below 0, which is a recorded shortage
 * that the next count ends.
 *
 * @param moves lines that count, of one part, ascending by time
 * @param log entries that count, of any gun, ascending by time
 * @param perChange pieces that one change takes, >= 1
 */
export function shelfOf(
  part: string,
  moves: readonly ShelfMove[],
  log: readonly LogEntry[],
  perChange: number,
): { readonly shelf: Shelf; readonly steps: readonly ShelfStep[] } {
  const changes = log.filter((entry) => entry.part === part && entry.action === 'replaced');
  // A count of the same moment saw the shelf after the change.
  const events = [
    ...moves.map((move, order) => ({ ...move, order: order + changes.length })),
    ...changes.map(({ time }, order) => ({ time, kind: 'used' as const, quantity: perChange, order })),
  ].sort((left, right) => left.time - right.time || left.order - right.order);
  let onHand: number | null = null;
  let onOrder = 0;
  let countedAt: number | null = null;
  let usedSinceCount = 0;
  const steps: ShelfStep[] = [];
  for (const { time, kind, quantity } of events) {
    const before: number = onHand ?? 0;
    if (kind === 'counted') {
      onHand = quantity;
      countedAt = time;
      usedSinceCount = 0;
    } else if (kind === 'delivered') {
      onHand = before + quantity;
      onOrder = Math.max(0, onOrder - quantity);
    } else if (kind === 'ordered') onOrder = quantity;
    else if (onHand !== null) {
      onHand = before - quantity;
      if (kind === 'used') usedSinceCount += quantity;
    }
    if (onHand !== null) steps.push({ time, kind, change: onHand - before, onHand });
  }
  return { shelf: { onHand, onOrder, countedAt, usedSinceCount }, steps };
}
