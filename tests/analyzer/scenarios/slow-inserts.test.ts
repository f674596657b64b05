import { expect, it } from 'vitest';
import { SPRAY_HOURS_A_YEAR } from '../../../analyzer/detect/promise-shares.ts';
import { rateInterval } from '../../../analyzer/stats/count-interval.ts';
import { isPartId, Settings } from '../../../collector/contract/index.ts';
import { runScenario } from './run-scenario.ts';
import { ScenarioFile } from './scenario-file.ts';

/** Guns whose inserts last 600 spray hours: in their first 90 nothing is worth a visit. */
const SLOW = {
  story: 'inserts made for 600 spray hours',
  scenario: 'told',
  weeks: 7,
  guns: 2,
  newAtStart: 1,
  lifeSprayHours: 600,
  expected: { none: ['part'] },
};
const SEEDS = [3, 4, 5, 6, 7, 8, 9, 10];
it('inserts that hardly wear are told no oftener than the false alarms accepted', () => {
  let hours = 0;
  const told: string[] = [];
  for (const seed of SEEDS) {
    const { replay, guns } = runScenario(ScenarioFile.parse({ ...SLOW, seed }));
    for (const gun of guns) hours += replay.clocks.get(gun)!.hours.at(-1)!;
    for (const { gun, cause, raised } of replay.findings)
      if (isPartId(cause)) told.push(`seed ${seed}, ${gun}: ${cause}, ${raised}`);
  }
  // Too little sprayed would prove nothing.
  expect(hours).toBeGreaterThan(1000);
  // Exact limits of a Poisson rate (F. Garwood, Biometrika 28, 1936): what was told must not be more than chance makes of the accepted rate.
  const { low } = rateInterval(told.length, hours / SPRAY_HOURS_A_YEAR);
  expect(low, told.join('; ')).toBeLessThanOrEqual(Settings.parse({}).falseAlarmsPerGunYear);
}, 120_000);
