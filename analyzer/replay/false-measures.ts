import { isPartId } from '../../collector/contract/index.ts';
import { rateInterval } from '../stats/count-interval.ts';
import type { CaseScore } from './case-score.ts';
import { atMost, type Measure, share } from './measure.ts';

/**
 * How often something is found that is not there. A finding on an insert that has worn by what is worth a visit, but not yet to where it counts as
 * told in time, is early and not false: early inserts have rows of their own. Both counts are told.
 */
export function falseMeasures(scores: readonly CaseScore[]): Measure[] {
  const hours = scores.reduce((sum, { sprayHours }) => sum + sprayHours, 0);
  const years = scores.reduce((sum, { gunYears }) => sum + gunYears, 0);
  const wrong = scores.flatMap(({ findings }) => findings.filter(({ isFalse }) => isFalse));
  const onParts = wrong.filter(({ cause }) => isPartId(cause));
  const parts = onParts.filter(({ worn }) => !worn).length;
  const rate = (name: string, count: number, reach: Measure['reach']): Measure => ({
    name,
    estimate: hours > 0 ? rateInterval(count, hours / 1000) : null,
    unit: 'per 1000 spray hours',
    basis: `${count} in ${hours.toFixed(0)} spray hours`,
    reach,
  });
  return [
    rate('False findings against a part', parts, atMost(0.2)),
    rate('False findings against a part and inserts told too early, together', onParts.length, atMost(0.2)),
    rate('False findings of powder, supply air, sensors and data', wrong.length - onParts.length, atMost(0.5)),
    {
      name: 'False findings against a part, by calendar',
      estimate: years > 0 ? rateInterval(parts, years) : null,
      unit: 'per gun-year',
      basis: `${parts} in ${years.toFixed(1)} gun-years`,
      reach: null,
    },
    share(
      'Traps that raised a finding against a part',
      scores.flatMap(({ traps }) => traps),
      ({ raised }) => raised,
      'traps',
      atMost(0.04),
    ),
  ];
}
