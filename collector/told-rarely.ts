/** How often the same trouble is told while it lasts, ms. Source: own choice, as refusals are counted by the minute. */
const AGAIN_MS = 60_000;
/** Different texts that are remembered. Source: own choice. */
const MOST_TEXTS = 100;

/**
 * Tells of a trouble when it comes, and of the same again a minute later at the soonest: a full disk fails at each of a hundred tries a second, and a log of
 * as many lines takes the room that somebody is about to make.
 *
 * @param tell told what it is, and how often it came since it was last told and was kept back
 * @param now ms of any clock that goes forward
 */
export function toldRarely(tell: (what: string, keptBack: number) => void, now: () => number): (what: string) => void {
  const told = new Map<string, { at: number; keptBack: number }>();
  return (what) => {
    const before = told.get(what);
    if (before !== undefined && now() - before.at < AGAIN_MS) {
      before.keptBack++;
      return;
    }
    // Texts may name places.
    if (told.size >= MOST_TEXTS) told.clear();
    told.set(what, { at: now(), keptBack: 0 });
    tell(what, before?.keptBack ?? 0);
  };
}
