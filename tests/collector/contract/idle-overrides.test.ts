import { expect, test } from 'vitest';
import { idleOverrides, Plant, Settings } from '../../../collector/contract/index.ts';

const plant = Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns: [{ id: 'gun-01' }] });

test('an override of a gun that the plant does not have is told, with its place', () => {
  const settings = Settings.parse({
    overrides: [
      { gun: 'gun-01', learningRuns: 80 },
      { powder: 'p-1', learningRuns: 90 },
      { gun: 'gun-10', smallestChange: 0.1 },
    ],
  });
  expect(idleOverrides(settings, plant)).toEqual([
    'overrides.2.gun: found gun-10, which the plant does not have: this override changes nothing',
  ]);
});
