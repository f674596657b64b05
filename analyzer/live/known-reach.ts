/** A station that is silent for longer is taken to stay so, ms; before, its readings may just be under way. Source: own
 * choice, because a silence of this length is missing data. */
const UNDER_WAY_MS = 30 * 60_000;

/** Reading times between which a site is known, epoch ms. */
interface KnownReach {
  readonly first: number;
  /** Up to here no readings are under way. */
  readonly safe: number;
  /** Newest reading of each station. */
  readonly lastTimes: readonly number[];
}

/**
 * How far the readings of a site's stations reach.
 *
 * @param stations at least one, all with readings
 * @param newest newest reading of the site, epoch ms
 * @param from nothing is known of before, epoch ms
 */
export function knownReach(
  stations: readonly { readonly firstTime: number; readonly lastTime: number }[],
  newest: number,
  from = 0,
): KnownReach {
  const lastTimes = stations.map(({ lastTime }) => lastTime);
  const under = lastTimes.filter((time) => newest - time < UNDER_WAY_MS);
  const first = Math.max(from, Math.min(...stations.map(({ firstTime }) => firstTime)));
  return { first, safe: Math.min(newest, ...under), lastTimes };
}
