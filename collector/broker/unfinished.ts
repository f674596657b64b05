import type { Peer } from './peers.ts';

/** A connection that may keep bytes of a packet that cannot be dealt with yet. */
export interface Keeping {
  readonly unfinishedBytes: number;
  readonly burden: { readonly peer: Peer };
}

/**
 * Which connections have to end so that packets that are not whole, or have to wait, take no more memory than they may: those of the account or
 * address that keeps most, the longest packet first.
 *
 * @param most bytes of all together
 */
export function keepingTooMuch<One extends Keeping>(connections: Iterable<One>, most: number): One[] {
  let all = 0;
  for (const { unfinishedBytes } of connections) all += unfinishedBytes;
  if (all <= most) return [];
  const ofPeer = new Map<Peer, number>();
  const keeping = [...connections].filter(({ unfinishedBytes }) => unfinishedBytes > 0);
  for (const { unfinishedBytes, burden } of keeping)
    ofPeer.set(burden.peer, (ofPeer.get(burden.peer) ?? 0) + unfinishedBytes);
  keeping.sort(
    (a, b) => ofPeer.get(b.burden.peer)! - ofPeer.get(a.burden.peer)! || b.unfinishedBytes - a.unfinishedBytes,
  );
  const ending: One[] = [];
  for (let next = 0; next < keeping.length && all > most; next++) {
    all -= keeping[next]!.unfinishedBytes;
    ending.push(keeping[next]!);
  }
  return ending;
}
