import { median } from 'simple-statistics';
import { counted, type Tunables } from '../../collector/contract/index.ts';
import { BLOCK_HOURS } from '../detect/promise-shares.ts';
import { cusumRunLength } from '../detect/run-length/average-run-length.ts';
import { STEP_SLACK, stepLimit } from '../detect/step-limits.ts';
import { NOT_BEFORE, wearDueAt } from '../diagnose/wear-due.ts';
import type { GunView } from '../views.ts';

/** What follows from one setting, in plain words with figures. */
export interface Consequence {
  readonly setting: keyof Tunables;
  readonly text: string;
}

/** The hall as the consequences depend on it. */
export interface HallFigures {
  /** Deviation of a gun's excess air in ln, median of the guns. */
  readonly excessSd: number;
  /** Spray hours of a usual shift, median of the guns; null before the first shift. */
  readonly sprayHoursPerShift: number | null;
}

/** Source: own choice where no gun is known yet: what most guns of simulated halls come to. */
const USUAL_SD = 0.015;
/** Quantile of 80 % intervals. Source: NIST/SEMATECH e-Handbook, 1.3.6.7.1, table of the normal distribution. */
const Z_90 = 1.2816;
/** The step that is told as an example, as ln of air, and the ramp, as excess air an hour. */
const STEP = Math.log(1.1);
const RAMP_PER_HOUR = 0.1 / 100;
/** Scatter of a block in ln of air. Source: own choice, seen on simulated halls. */
const BLOCK_SD = 0.025;

/** Figures of a hall from what is known of its guns now. */
export function hallFigures(views: readonly GunView[]): HallFigures {
  const deviations = views.flatMap(({ excessAir }) =>
    excessAir === null ? [] : [(Math.log1p(excessAir.p90) - Math.log1p(excessAir.p10)) / (2 * Z_90)],
  );
  const shifts = views.flatMap(({ sprayHoursPerShift }) => (sprayHoursPerShift === null ? [] : [sprayHoursPerShift]));
  return {
    excessSd: deviations.length > 0 ? median(deviations) : USUAL_SD,
    sprayHoursPerShift: shifts.length > 0 ? median(shifts) : null,
  };
}

/**
 * What follows from the settings of a gun: when an example of a ramp or step would be seen, by the theory behind the
 * limits. The figures are those of a gun whose insert was logged as new.
 */
export function consequences(settings: Tunables, { excessSd, sprayHoursPerShift }: HallFigures): Consequence[] {
  const { falseAlarmsPerGunYear, changeLimitExcessAir, leadTimeShifts, learningRuns } = settings;
  const limit = stepLimit(falseAlarmsPerGunYear);
  const stepHours = BLOCK_HOURS * cusumRunLength({ slack: STEP_SLACK, limit }, STEP / BLOCK_SD, 'one');
  const { byChange, byLimit } = wearDueAt(changeLimitExcessAir, excessSd, settings);
  const rampHours = Math.max(byChange, byLimit) / RAMP_PER_HOUR;
  const limitHours = changeLimitExcessAir / RAMP_PER_HOUR;
  return [
    {
      setting: 'falseAlarmsPerGunYear',
      text: `a gun without any fault may give a false finding once in about ${years(1 / falseAlarmsPerGunYear)}; a step of 10 % more air is seen after about ${hours(stepHours)}`,
    },
    {
      setting: 'changeLimitExcessAir',
      text: `a part is named from about ${percent(byLimit)} excess air on and never below ${percent(NOT_BEFORE * changeLimitExcessAir)}; a ramp of 10 % per 100 spray hours reaches the limit after ${hours(limitHours)}`,
    },
    {
      setting: 'smallestChange',
      text: `a ramp of 10 % per 100 spray hours is seen after about ${hours(rampHours)}, ${hours(Math.max(0, limitHours - rampHours))} before the limit${byChange > byLimit ? '' : ' (here half the change limit decides, not this)'}`,
    },
    {
      setting: 'leadTimeShifts',
      text:
        sprayHoursPerShift === null
          ? 'how many spray hours that is will be known after the first shift'
          : `that is ${hours(leadTimeShifts * sprayHoursPerShift)} at the hall’s usual ${tenths(sprayHoursPerShift)} a shift${leadTimeShifts * sprayHoursPerShift > limitHours - rampHours ? '; a ramp of 10 % per 100 spray hours leaves less notice than that' : ''}`,
    },
    {
      setting: 'learningRuns',
      text: `a new gun or powder is judged after ${counted(learningRuns, 'spray run')}; until then it says “learning”`,
    },
  ];
}

const percent = (share: number): string => `${(share * 100).toFixed(1)} %`;
const tenths = (value: number): string => `${value.toFixed(1)} h`;
const hours = (value: number): string => (value < 2 ? tenths(value) : `${value.toFixed(0)} h`);

function years(value: number): string {
  if (value >= 1) return `${value.toFixed(1)} years`;
  return counted(Math.max(1, Math.round(value * 12)), 'month');
}
