import type { Store } from '../../collector/index.ts';
import { areCutsOf, type Basis } from './basis.ts';
import { keepOldFacts } from './settled-facts.ts';

/** Keys of what stage one keeps of a station: its head, and states to go back to. */
const OF_CUTS = /^live\/[^/]+\/(head|cut\/\d+)$/;

/**
 * Lets go of what the analyzer kept on another basis, but for what stage one kept where that rests on the same: cutting years of readings anew would keep
 * a service from being ready.
 */
export function forgetStates(
  store: Pick<Store, 'states' | 'readings'>,
  stations: Iterable<string>,
  basis: Omit<Basis, 'seen'>,
): void {
  const { states } = store;
  const keepsCuts = areCutsOf(states, basis);
  if (!keepsCuts) keepOldFacts(store, stations);
  for (const key of states.keys('live/')) if (!keepsCuts || !OF_CUTS.test(key)) states.delete(key);
}
