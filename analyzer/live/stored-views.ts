import type { Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { gunViews } from '../pipeline-views.ts';
import type { GunView } from '../views.ts';
import { storedBelief } from './stored-belief.ts';

/** What screens show of every gun, out of the store alone and without changing it; none before the first reading. */
export function storedViews(store: Store, plant: Plant): GunView[] {
  const { context, state } = storedBelief(store, plant);
  return state.time === 0 ? [] : gunViews(context, state);
}
