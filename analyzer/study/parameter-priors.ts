import { PRIORS } from '../baseline/pump-priors.ts';
import { SPRAY_HOURS_A_YEAR } from '../detect/promise-shares.ts';
import { OWN, type Parameter, percentOf } from './parameter.ts';

/** What is believed before a reading was seen; some days of readings overrule it. */
export function priors(): Parameter[] {
  const prior = (name: string, value: number, unit: string, what: string, source: string): Parameter => ({
    ...{ setting: null, name, value, unit, what, source, follows: false },
  });
  const wandering = (
    name: string,
    { sd, hours }: { readonly sd: number; readonly hours: number },
    more = '',
  ): Parameter =>
    prior(name, percentOf(sd), '% of output', `Standard deviation; comes and goes within ${hours} h${more}`, OWN);
  const wear = 100 * (1 - Math.exp(-PRIORS.rate.mean));
  return [
    prior(
      'Output of a new gun',
      Math.exp(PRIORS.level.mean),
      'g/min at the reference flow',
      `Within a factor of ${Math.exp(PRIORS.level.sd).toFixed(1)} either way`,
      OWN,
    ),
    prior(
      'Output gained by a little more air',
      PRIORS.elasticity.mean,
      '% per % of conveying air',
      `Standard deviation ${PRIORS.elasticity.sd} over plants, ${PRIORS.gunElasticity} over guns of one`,
      'Handbook of the trade: between 1.1 and 3 past the threshold',
    ),
    prior('Guns of one site among each other', percentOf(PRIORS.gunLevel), '% of output', 'Standard deviation', OWN),
    prior(
      'Powders among each other',
      percentOf(PRIORS.powder),
      '% of output',
      'Standard deviation; needs differ by ± 25 % of air',
      'Handbook of the trade',
    ),
    prior(
      'Lots of a powder among each other',
      percentOf(PRIORS.lot),
      '% of air',
      'Standard deviation',
      'Handbook of the trade: needs differ by ± 25 % of air, times what a little more air gains, taken as two deviations',
    ),
    prior(
      'Loss of a pump insert',
      wear,
      '% of output per 100 kg',
      `Standard deviation ${(100 * PRIORS.rate.sd).toFixed(0)} % per 100 kg over plants`,
      'Handbook of the trade’s interval',
    ),
    prior(
      'Loss of an insert of unknown age',
      percentOf(PRIORS.firstWear.mean),
      '% of output',
      `Standard deviation ${percentOf(PRIORS.firstWear.sd).toFixed(0)}`,
      OWN,
    ),
    prior('New inserts among each other', percentOf(PRIORS.newWear), '% of output', 'Standard deviation', OWN),
    wandering('What a shift does', PRIORS.shift),
    wandering('What a week does', PRIORS.week),
    wandering('What the whole site does', PRIORS.site, '; taken off all guns alike'),
    prior(
      'Spray hours of a gun in a year',
      SPRAY_HOURS_A_YEAR,
      'spray hours',
      'By which rates per year are reckoned',
      `${OWN}, one shift at 25 % trigger-on time`,
    ),
  ];
}
