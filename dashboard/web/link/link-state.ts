/** What a page knows of its connection to the service. Times here are of the page's own steady clock, ms. */
export interface Heard {
  /** When the page began to listen. */
  readonly openedMs: number;
  /** When the last event of any kind came; null before the first. */
  readonly lastMs: number | null;
  /** The service's clock, epoch ms, when that event was sent. */
  readonly serverMs: number | null;
}

export type LinkState =
  /** Nothing came yet, and it is too early to complain. */
  | { readonly kind: 'opening' }
  /** Nothing ever came. */
  | { readonly kind: 'unreached' }
  | { readonly kind: 'live' }
  /** Events came until `lastTrueMs`, epoch ms of the service's clock. */
  | { readonly kind: 'lost'; readonly lastTrueMs: number };

/**
 * Silence from which the connection counts as lost, ms.
 * Source: the wall must say so within 10 s; a heartbeat comes every 3 s, so three have been missed.
 */
export const LOST_AFTER_MS = 9000;

/** State of the connection at `nowMs` of the page's steady clock. */
export function linkState({ openedMs, lastMs, serverMs }: Heard, nowMs: number): LinkState {
  if (lastMs === null || serverMs === null)
    return nowMs - openedMs > LOST_AFTER_MS ? { kind: 'unreached' } : { kind: 'opening' };
  return nowMs - lastMs > LOST_AFTER_MS ? { kind: 'lost', lastTrueMs: serverMs } : { kind: 'live' };
}

/**
 * The service's clock now, epoch ms: what it said last, and the time that passed here since. The clock of the
 * screen itself is never asked; it may be wrong.
 */
export function serverNow({ lastMs, serverMs }: Heard, nowMs: number): number | null {
  return lastMs === null || serverMs === null ? null : serverMs + (nowMs - lastMs);
}
