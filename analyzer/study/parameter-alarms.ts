import type { Tunables } from '../../collector/contract/index.ts';
import { FULL_MINUTES } from '../baseline/block.ts';
import { BLOCK_HOURS, PROMISE_SHARES, SPRAY_HOURS_A_YEAR } from '../detect/promise-shares.ts';
import { lineDeviations, rampDeviations } from '../detect/ramp-limits.ts';
import { LASTING_HOURS } from '../detect/ramp-rate.ts';
import { samplesBetweenFalseAlarms } from '../detect/run-length/promise.ts';
import {
  LAG_ONE,
  START_WINDOW,
  STEP_CHARTS,
  STEP_SHARE,
  STEP_SLACK,
  startLimit,
  stepLimit,
} from '../detect/step-limits.ts';
import { OWN, type Parameter } from './parameter.ts';

/** What follows from the false findings accepted: how they are shared out, and the limits of ramps and steps. */
export function falseAlarms({ falseAlarmsPerGunYear, smallestChange }: Tunables): Parameter[] {
  const about = { setting: 'falseAlarmsPerGunYear' } as const;
  const samples = samplesBetweenFalseAlarms({
    ...{ falseAlarmsPerYear: falseAlarmsPerGunYear, share: STEP_SHARE },
    samplesPerYear: SPRAY_HOURS_A_YEAR / BLOCK_HOURS,
  });
  const shared = (['insert', 'lines', 'steps'] as const).map(
    (signal): Parameter => ({
      ...{
        ...about,
        name: `Budget of ${{ insert: 'the pump insert', lines: 'the air lines', steps: 'sudden steps' }[signal]}`,
      },
      ...{
        value: falseAlarmsPerGunYear * PROMISE_SHARES[signal],
        unit: 'false findings per gun and year',
        follows: true,
      },
      what: `${100 * PROMISE_SHARES[signal]} % of what is accepted: expected counts add up, so a budget that is shared out is kept by the gun as a whole`,
      source: 'Linearity of expectation; the shares are own choice',
    }),
  );
  return [
    ...shared,
    {
      ...{
        ...about,
        name: 'Limit of a slow ramp, pump insert',
        value: rampDeviations(falseAlarmsPerGunYear, smallestChange),
      },
      ...{ unit: 'standard deviations', follows: true },
      what: 'By so much the belief about the wear has to be beyond the smallest change worth a visit',
      source:
        'Root of the false-alarm rate of an autoregressive error over a life (Markov chain after Brook & Evans 1972)',
    },
    {
      ...{ ...about, name: 'Limit of a slow ramp, air lines', value: lineDeviations(falseAlarmsPerGunYear) },
      ...{ unit: 'standard deviations', follows: true },
      what: `The same for filters, fluidizing ring and inlet; it has to last ${LASTING_HOURS} spray hours`,
      source: 'As for the pump insert',
    },
    {
      ...{ ...about, name: 'Limit of a step chart (one-sided CUSUM), h', value: stepLimit(falseAlarmsPerGunYear) },
      ...{ unit: 'standard deviations of a block', follows: true },
      what: `A sudden loss is told once the summed surprise is beyond it; ${STEP_CHARTS.length} such charts share the budget of steps`,
      source: 'Average run length of a CUSUM, autocorrelation corrected for; checked against published tables',
    },
    {
      ...{
        ...about,
        name: 'Slack of a step chart, k',
        value: STEP_SLACK,
        unit: 'standard deviations of a block',
        follows: false,
      },
      what: 'Half the step that the chart sees soonest',
      source: `${OWN}, common practice`,
    },
    {
      ...{ ...about, name: `Limit of the likelihood ratio over the last ${START_WINDOW} blocks`, follows: true },
      ...{ value: startLimit(falseAlarmsPerGunYear, START_WINDOW), unit: 'standard deviations' },
      what: 'Finds when a loss began, for steps that came with a change',
      source: 'D. Siegmund & E. S. Venkatraman, Annals of Statistics 23, 1995',
    },
    {
      ...{ ...about, name: 'Average run length between false alarms of one step chart', value: samples * BLOCK_HOURS },
      ...{ unit: 'spray hours', follows: true },
      what: `${Math.round(samples)} blocks of ${FULL_MINUTES} minutes without a change, on average`,
      source: 'Follows from the budget of steps',
    },
    {
      ...{
        ...about,
        name: 'Correlation of neighbouring blocks that is allowed for',
        value: LAG_ONE,
        unit: '',
        follows: false,
      },
      what: 'What the model of shifts, weather and lots may leave; it raises the limits',
      source: `${OWN}, on the safe side of −0.06 to 0.03 seen on simulated healthy halls`,
    },
  ];
}
