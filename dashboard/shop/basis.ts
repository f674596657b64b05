import type { GunView } from '../../analyzer/index.ts';
import type { Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { GunUse } from './gun-use.ts';

/** What stock, lives, costs and reports are reckoned from: in the service and on the command line alike. */
export interface Basis {
  readonly store: Store;
  readonly plant: Plant;
  readonly now: () => number;
  readonly use: GunUse;
  /** What the analysis last said of each gun. */
  readonly views: () => readonly GunView[];
  /** Tells the analysis that the log was changed. */
  readonly logChanged: () => void;
}

/** Family of a powder by the plant file; what has none is told as such. */
export function familyOf({ powders }: Plant, unnamed: string): (powder: string) => string {
  const families = new Map(powders.map(({ id, family }) => [id, family]));
  return (powder) => families.get(powder) ?? unnamed;
}

/** Name of a gun for people. */
export function gunName({ guns }: Plant, id: string): string {
  return guns.find((gun) => gun.id === id)?.name ?? id;
}

/** The basis of a store without a running analysis: nothing is known of the air but what the store holds. */
export function shopBasis(store: Store, plant: Plant, now: () => number): Basis {
  return { store, plant, now, use: new GunUse(store, now), views: () => [], logChanged: () => undefined };
}
