import type { States } from '../../collector/index.ts';
import type { StationFact } from '../site.ts';
import { factsWithSettled } from './settled-facts.ts';
import type { Head } from './station-head.ts';
import { firstFactChange } from './track-change.ts';

/** A station as it is or was in memory: of its facts those that may still matter. */
export type HeldStation = Pick<Head, 'facts' | 'settledBefore' | 'firstTime' | 'lastTime'>;

/** What is known of a station beside its runs, from memory and store; times are reading times, epoch ms. */
interface KnownStation {
  readonly facts: readonly StationFact[];
  /** 0 where there are no readings. */
  readonly firstTime: number;
  readonly lastTime: number;
}

/** A station as it is or was known, without facts that were over before `since`, epoch ms. */
export function knownStation(
  held: HeldStation,
  states: Pick<States, 'get' | 'keys'>,
  station: string,
  since: number,
): KnownStation {
  const { firstTime, lastTime } = held;
  return { facts: factsWithSettled(held, states, station, since), firstTime, lastTime };
}

/** Reading time from which a station is another than it was, epoch ms; Infinity when it is as it was. Runs are not looked at. */
export function firstStationChange(old: KnownStation, fresh: KnownStation): number {
  const { firstTime, lastTime } = fresh;
  let from = firstFactChange(old.facts, fresh.facts);
  if (old.firstTime !== firstTime) from = Math.min(from, old.firstTime || firstTime, firstTime);
  if (old.lastTime !== lastTime) from = Math.min(from, old.lastTime + 1);
  return from;
}
