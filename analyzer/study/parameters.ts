import { type Settings, settingsFor, type Tunables } from '../../collector/contract/index.ts';
import { FULL_MINUTES, FULL_RUNS } from '../baseline/block.ts';
import { wearBeyond } from '../detect/ramp-limits.ts';
import { INSERT_RAMP, LINE_RAMPS } from '../detect/ramp-rate.ts';
import { LASTING_HOURS } from '../diagnose/tell-wear.ts';
import { NOT_BEFORE, SHARE, SURETY } from '../diagnose/wear-due.ts';
import type { HallFigures } from './consequences.ts';
import { OWN, type Parameter, percentOf } from './parameter.ts';
import { falseAlarms } from './parameter-alarms.ts';
import { priors } from './parameter-priors.ts';

/**
 * The statistical parameters behind the settings of a hall, or of one gun with its overrides, by the judge's own constants.
 *
 * @param gun id; null for the hall's own values
 * @param hall as the consequences are told for it
 */
export function parameters(settings: Settings, gun: string | null, { excessSd }: HallFigures): Parameter[] {
  const tunables = settingsFor(settings, gun === null ? {} : { gun });
  return [
    ...falseAlarms(tunables),
    ...changeLimit(tunables),
    ...smallestChange(tunables, excessSd),
    ...notice(tunables),
    ...learning(tunables),
    ...priors(),
  ];
}

function changeLimit({ changeLimitExcessAir }: Tunables): Parameter[] {
  const about = { setting: 'changeLimitExcessAir' } as const;
  return [
    {
      ...{
        ...about,
        name: 'Excess air that has to be passed',
        value: 100 * SHARE * changeLimitExcessAir,
        unit: '%',
        follows: true,
      },
      what: `${100 * SHARE} % of the change limit, before a part is named`,
      source: 'Own choice: half the limit leaves time to plan',
    },
    {
      ...{ ...about, name: 'Surety that it is passed', value: 100 * SURETY.byLives, unit: '%', follows: false },
      what: `Probability that a finding takes, by the gun’s air and what past inserts lasted, ${100 * SURETY.byAir} % by the air alone; where the output is not measured it has to hold for ${LASTING_HOURS} spray hours`,
      source: `${OWN}: three to two, because waiting to be surer costs more inserts past their limit than it saves good ones`,
    },
    {
      ...{
        ...about,
        name: 'Never named below',
        value: 100 * NOT_BEFORE * changeLimitExcessAir,
        unit: '%',
        follows: true,
      },
      what: 'The likeliest excess air has to be at least this',
      source: OWN,
    },
  ];
}

function smallestChange({ falseAlarmsPerGunYear, smallestChange: small }: Tunables, excessSd: number): Parameter[] {
  const about = { setting: 'smallestChange' } as const;
  const beyond = wearBeyond(falseAlarmsPerGunYear, small, excessSd);
  return [
    {
      ...{ ...about, name: 'Excess air that counts as no change', value: 100 * small, unit: '%', follows: true },
      what: 'The null: parts that never wear further than this keep the promised rate of false findings',
      source: 'The setting itself',
    },
    {
      ...{
        ...about,
        name: 'Excess air from which a ramp is told',
        value: percentOf(Math.log1p(small) + beyond),
        unit: '%',
        follows: true,
      },
      what: `The smallest change and the limit of a ramp beyond it, at this hall’s surety of ${percentOf(excessSd).toFixed(1)} % air`,
      source: 'Follows from limit and surety',
    },
    {
      ...{
        ...about,
        name: 'Surety of the belief about a gun',
        value: percentOf(excessSd),
        unit: '% of air',
        follows: false,
      },
      what: 'Standard deviation of the excess air, median of the guns now',
      source: 'Estimated from the guns’ runs',
    },
    {
      ...{
        ...about,
        name: 'Surety that counts at most',
        value: percentOf(INSERT_RAMP.sd),
        unit: '% of air',
        follows: false,
      },
      what: 'A gun that is less sure is not asked for more',
      source: 'Simulated healthy halls, 31.9 gun-years',
    },
    ...Object.entries(LINE_RAMPS).map(
      ([line, { small: least }]): Parameter => ({
        ...{ ...about, name: `Smallest change of the ${line} line`, value: line === 'inlet' ? least : 100 * least },
        ...{ unit: line === 'inlet' ? 'bar of sag' : '% of its conductance', follows: false },
        what: 'Worth a visit on an air line, whatever the setting says of the pump',
        source: `${OWN}, above what gauges and weather do`,
      }),
    ),
  ];
}

function notice({ leadTimeShifts }: Tunables): Parameter[] {
  return [
    {
      ...{
        setting: 'leadTimeShifts',
        name: 'Shifts before the limit',
        value: leadTimeShifts,
        unit: 'shifts',
        follows: true,
      },
      what: 'A finding that came at least so long before its part was found worn counts as in time when settings are tried; it moves no limit',
      source: 'The setting itself',
    },
  ];
}

function learning({ learningRuns }: Tunables): Parameter[] {
  const about = { setting: 'learningRuns' } as const;
  return [
    {
      ...{
        ...about,
        name: 'Runs before a gun and powder are judged',
        value: learningRuns,
        unit: 'spray runs',
        follows: true,
      },
      what: 'Until then the gun says "learning"',
      source: 'The setting itself',
    },
    {
      ...{ ...about, name: 'Runs in a block, at most', value: FULL_RUNS, unit: 'spray runs', follows: false },
      what: `Runs are taken in together, ${FULL_MINUTES} minutes of spraying or so many runs`,
      source: `${OWN}: run scatter falls to about 1 %`,
    },
  ];
}
