import type { CaseScore } from './case-score.ts';
import { falseMeasures } from './false-measures.ts';
import { faultMeasures } from './fault-measures.ts';
import { forecastMeasures } from './forecast-measures.ts';
import { lifeMeasures } from './life-measures.ts';
import type { Measure } from './measure.ts';

/** All measures over some halls, in the order in which they are told. */
export function measures(scores: readonly CaseScore[]): Measure[] {
  return [...lifeMeasures(scores), ...falseMeasures(scores), ...faultMeasures(scores), ...forecastMeasures(scores)];
}
