import { expect, it } from 'vitest';
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
/** Spray hours of a gun in a year, fewer than most halls have. */
const HOURS_A_YEAR = 500;
/** Most findings that the accepted rate gives with 97.5 % probability. Source: the Poisson distribution. */
function mostByChance(mean: number): number {
  let [most, chance, sum] = [0, Math.exp(-mean), Math.exp(-mean)];
  while (sum < 0.975) {
    chance *= mean / ++most;
    sum += chance;
  }
  return most;
}

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
  const accepted = Settings.parse({}).falseAlarmsPerGunYear * (hours / HOURS_A_YEAR);
  expect(told.length, told.join('; ')).toBeLessThanOrEqual(mostByChance(accepted));
}, 120_000);
