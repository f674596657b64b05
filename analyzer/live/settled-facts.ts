import type { Store } from '../../collector/index.ts';
import { endOf } from '../runs/settle-facts.ts';
import type { StationFact } from '../site.ts';
import type { CheckpointStore } from './checkpoints.ts';
import { packState, unpackState } from './state-bytes.ts';
import { readHead } from './station-head.ts';

/** Facts are kept together by the time at which they were over. Source: own choice: some dozens, a few kilobytes. */
const BLOCK_MS = 64 * 24 * 3_600_000;

const prefixOf = (station: string): string => `live-facts/${station}/`;
const blockOf = (time: number): number => Math.floor(time / BLOCK_MS);
const keyOf = (station: string, block: number): string => `${prefixOf(station)}${String(block).padStart(6, '0')}`;

/** Facts of a station in the store that were over at `from` or later. */
export function settledFacts(states: Pick<CheckpointStore, 'get' | 'keys'>, station: string, from = 0): StationFact[] {
  return states
    .keys(prefixOf(station))
    .filter((key) => Number(key.slice(prefixOf(station).length)) >= blockOf(from))
    .flatMap((key) => unpackState<StationFact[]>(states.get(key)!))
    .filter((fact) => endOf(fact) >= from);
}

/** Puts `facts` in place of all of a station in the store that were over at `from` or later. */
export function replaceSettledFacts(
  states: CheckpointStore,
  station: string,
  from: number,
  facts: readonly StationFact[],
): void {
  const blocks = new Map<number, StationFact[]>();
  for (const key of states.keys(prefixOf(station))) {
    const block = Number(key.slice(prefixOf(station).length));
    if (block < blockOf(from)) continue;
    const before = unpackState<StationFact[]>(states.get(key)!).filter((fact) => endOf(fact) < from);
    if (before.length > 0) blocks.set(block, before);
    else states.delete(key);
  }
  for (const fact of facts) {
    const block = blockOf(endOf(fact));
    blocks.set(block, [...(blocks.get(block) ?? []), fact]);
  }
  for (const [block, held] of blocks) states.put(keyOf(station, block), packState(held));
}

/** Facts of a station as it is or was known, with those in the store that were over before them, and from a time on. */
export function factsWithSettled(
  { facts, settledBefore = 0 }: { readonly facts: readonly StationFact[]; readonly settledBefore?: number },
  states: Pick<CheckpointStore, 'get' | 'keys'>,
  station: string,
  from = 0,
): StationFact[] {
  const over = settledBefore <= from ? [] : settledFacts(states, station, from);
  return [...over.filter((fact) => endOf(fact) < settledBefore), ...facts.filter((fact) => endOf(fact) >= from)];
}

/**
 * Keeps facts of readings that retention took away, before states that another program wrote are thrown away: nothing else tells of them.
 */
export function keepOldFacts(
  { states, readings }: Pick<Store, 'states' | 'readings'>,
  stations: Iterable<string>,
): void {
  for (const station of stations) {
    const head = readHead(station, states);
    const gone = head === null ? null : readings.thinnedAway(station);
    if (head === null || gone === null) continue;
    const over = head.facts.filter((fact) => endOf(fact) < gone.rawFrom);
    if (over.length > 0) replaceSettledFacts(states, station, head.settledBefore ?? 0, over);
  }
}
