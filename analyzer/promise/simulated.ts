import { isPartId, PART_IDS } from '../../collector/contract/index.ts';
import { rateInterval } from '../stats/count-interval.ts';
import type { SimulatedPromise } from './promise.ts';

/** What one simulated healthy hall gave. */
export interface HealthyHallOutcome {
  readonly gunYears: number;
  readonly sprayHours: number;
  readonly wrong: readonly { readonly cause: string }[];
}

/** Counts what simulated healthy halls gave; the rate with its exact Poisson interval of 95 %. */
export function simulatedPromise(firstSeed: number, halls: readonly HealthyHallOutcome[]): SimulatedPromise {
  const sum = (of: (hall: HealthyHallOutcome) => number): number => halls.reduce((total, hall) => total + of(hall), 0);
  const causes = halls.flatMap(({ wrong }) => wrong.map(({ cause }) => cause)).filter(isPartId);
  const gunYears = sum((hall) => hall.gunYears);
  return {
    gunYears,
    sprayHours: sum((hall) => hall.sprayHours),
    halls: halls.length,
    firstSeed,
    wrong: causes.length,
    byCause: PART_IDS.map((cause) => ({ cause, wrong: causes.filter((one) => one === cause).length })).filter(
      ({ wrong }) => wrong > 0,
    ),
    perGunYear: rateInterval(causes.length, gunYears),
  };
}
