import { expect, test } from 'vitest';
import { sprayHoursBetween } from '../../analyzer/replay/spray-clock.ts';
import { runScenario } from './scenarios/run-scenario.ts';

const HALL = {
  story: '',
  scenario: 'told',
  seed: 6,
  weeks: 4,
  guns: 2,
  newAtStart: 1,
  lifeSprayHours: 400,
} as const;

/** A sensor of gun-02 that stands still for 25 spray hours. */
const STUCK = {
  gun: 'gun-02',
  cause: 'sensor',
  shape: 'step',
  at: 0.3,
  size: 0,
  sprayHours: 0,
  wrongFirst: null,
  mendAfter: 25,
  sensor: { channel: 'supplementary/flow', kind: 'stuck' },
} as const;

test('an open finding of a stuck sensor is told at least once in 8 spray hours', { timeout: 60_000 }, () => {
  const { replay } = runScenario({
    ...HALL,
    supply: [],
    log: [],
    expected: { findings: [], none: [], nothingElse: false },
    faults: [STUCK],
  });
  const told = replay.snapshots.filter(({ cause }) => cause === 'sensor:supplementary/flow');
  const clock = replay.clocks.get('gun-02')!;
  const hours = told
    .slice(1)
    .map(({ asOf }, index) => sprayHoursBetween(clock, Date.parse(told[index]!.asOf), Date.parse(asOf)));
  expect(hours.length).toBeGreaterThanOrEqual(3);
  // Looked at once a block of runs, which is half an hour of spraying at most.
  expect(Math.max(...hours)).toBeLessThanOrEqual(8.5);
});
