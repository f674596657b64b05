import { ageReplacement, type ReplacementCosts } from '../stats/age-replacement.ts';
import type { LifeStatistics } from './life-statistics.ts';

/** At which age changing in time is cheapest, or why none can be said. */
export interface BestAge {
  /** In the unit of the lives; null where none can be said. */
  readonly age: number | null;
  /** Cost per unit of time at that age, and when every part runs to its end. */
  readonly costRate: number | null;
  readonly costRateToEnd: number | null;
  /** Share of parts that end before that age. */
  readonly before: number | null;
  readonly says: string;
}

/** Saving from which an age is told. Source: own choice, one per cent, because costs are not known closer. */
const WORTH = 0.01;

const none = (says: string): BestAge => ({ age: null, costRate: null, costRateToEnd: null, before: null, says });

/**
 * The age at which to change in time, from the shop's own costs of a planned and of an unplanned change.
 *
 * @param costs one currency; null where the shop has not stated them
 * Source: R. E. Barlow & L. C. Hunter, Operations Research 8, 1960 (age replacement).
 */
export function bestAge({ fit, shape, enough }: LifeStatistics, costs: ReplacementCosts | null): BestAge {
  if (fit === null || shape === null) return none('No age can be said: there are too few lives.');
  if (costs === null) return none('State what a planned and an unplanned change of this part cost.');
  if (!(costs.planned > 0 && costs.failure > 0)) return none('An age needs costs above 0 for both kinds of change.');
  if (costs.failure <= costs.planned)
    return none('An unplanned change costs no more than a planned one: changing when it is worn is cheapest.');
  if (shape.value <= 1)
    return none('These lives do not end sooner with age (shape 1 or below): changing in time saves nothing.');
  const policy = ageReplacement(fit, costs);
  if (policy === null || policy.costRate > (1 - WORTH) * policy.costRateToFailure)
    return none(
      'An unplanned change costs hardly more than a planned one: changing in time saves nothing worth naming.',
    );
  const unsure =
    shape.low <= 1
      ? ' It is not sure that they wear with age at all: the 95 % limits of the shape reach down to 1.'
      : '';
  return {
    age: policy.age,
    costRate: policy.costRate,
    costRateToEnd: policy.costRateToFailure,
    before: 1 - policy.reliability,
    says: `${enough === 'enough' ? '' : 'From thin data. '}Changed at this age, ${Math.round(100 * (1 - policy.reliability))} % still end before it.${unsure}`,
  };
}
