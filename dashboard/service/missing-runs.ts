import { formatTime, type Plant } from '../../collector/contract/index.ts';
import { damagedIn, type Store } from '../../collector/index.ts';

/** Which spray runs what is reckoned from runs is without, as they are damaged on the disk: one sentence each; none as a rule. */
export function missingRuns(store: Store, plant: Plant): readonly string[] {
  const names = new Map(plant.guns.map(({ id, name }) => [id, name ?? id]));
  return damagedIn(store)
    .filter(({ kind }) => kind === 'spray runs')
    .map(
      ({ station, from, to }) =>
        `without some spray runs: those of ${names.get(station) ?? (station || 'a gun')} from ${formatTime(from)} to ${formatTime(to)} are damaged on the disk`,
    );
}
