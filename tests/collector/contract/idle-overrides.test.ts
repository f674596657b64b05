import { expect, test } from 'vitest';
import { idleOverrides, Plant, Settings } from '../../../collector/contract/index.ts';

const plant = Plant.parse({
  site: { id: 'hall-2', timezone: 'Europe/Vienna' },
  guns: [
    { id: 'gun-01', parts: ['pump-insert', 'pump-seals'] },
    { id: 'gun-02', parts: ['pump-insert', 'nozzle'] },
  ],
});
const told = (overrides: object[], powders: readonly string[] | null = ['p-1']): string[] =>
  idleOverrides(Settings.parse({ overrides }), plant, powders).map(({ sentence }) => sentence);

test('an override of a gun that the plant does not have is told, with its place', () => {
  expect(
    told([
      { gun: 'gun-01', learningRuns: 80 },
      { powder: 'p-1', learningRuns: 90 },
      { gun: 'gun-10', smallestChange: 0.1 },
    ]),
  ).toEqual(['overrides[2].gun: found gun-10, which the plant does not have: this override changes nothing']);
});

test('so is one of a powder that nobody knows, where the powders are known', () => {
  const overrides = [{ powder: 'p-l', learningRuns: 90 }];
  expect(told(overrides)).toEqual([
    'overrides[0].powder: found p-l, which the plant file does not name and nobody has sprayed yet: this override changes nothing',
  ]);
  expect(told(overrides, null)).toEqual([]);
});

test('and one of a part that the gun, or any gun, lacks by the plant file', () => {
  expect(
    told([
      { part: 'nozzle', smallestChange: 0.1 },
      { gun: 'gun-01', part: 'nozzle', smallestChange: 0.1 },
      { part: 'gun-tube', smallestChange: 0.1 },
    ]),
  ).toEqual([
    'overrides[1].part: found nozzle, which gun-01 does not have: this override changes nothing',
    'overrides[2].part: found gun-tube, which no gun has: this override changes nothing',
  ]);
});

test('and one that gives no value at all', () => {
  expect(told([{ gun: 'gun-01' }, { gun: 'gun-02', learningRuns: 80 }])).toEqual([
    'overrides[0]: found no value, expected one that differs from the hall’s: this override changes nothing',
  ]);
});
