import type { Span } from './look.ts';

/** Newest runs older than this are said to be, ms. Source: own choice, a day without spraying. */
const SILENT_MS = 24 * 3_600_000;
/** A picture whose end lies further back is said to be old, ms. Source: own choice, a look takes minutes, a page left open hours. */
const OLD_MS = 5 * 60_000;

/** What a picture's age comes to. */
export interface Freshness {
  /** The newest reading is in the picture, and lies a day back. */
  readonly isSilent: boolean;
  /** The picture was of the newest time when it was drawn, and time has gone on. */
  readonly isOld: boolean;
  /** A span as long that ends now. */
  readonly upToNow: Span;
}

/**
 * How a picture that reached to the newest reading when it was drawn stands to the time that it is now; one of an earlier time does not age.
 *
 * @param now of the service, epoch ms; null before it said
 */
export function freshnessOf(
  { from, to, known }: Span & { readonly known: Span | null },
  now: number | null,
): Freshness {
  const reachesNewest = now !== null && known !== null && to >= known.to;
  const isSilent = reachesNewest && now - known.to > SILENT_MS;
  return {
    isSilent,
    isOld: reachesNewest && !isSilent && now - to > OLD_MS,
    upToNow: now === null ? { from, to } : { from: now - (to - from), to: now },
  };
}
