import { expect, test } from 'vitest';
import { channelIndex, Plant } from '../../../collector/contract/index.ts';
import { planStations, toSteps } from '../../../collector/decode/station-plan.ts';

const FLOW = channelIndex('conveying/flow');
const SAME = { scale: 1, offset: 0 };

/** Whether a flow of a gun with such a range is possible. */
function possible(range: readonly [number, number], flowNm3h: number): boolean {
  const plant = Plant.parse({
    site: { id: 'hall-2', timezone: 'UTC' },
    guns: [{ id: 'gun-01', channels: { 'conveying/flow': { range } } }],
  });
  const plan = planStations(plant).get('gun-01')!.channels[FLOW]!;
  return !Number.isNaN(toSteps(plan, SAME, flowNm3h));
}

test('a sensor that begins at 0 may read a little below it: that is its zero', () => {
  expect([-0.02, -0.16, 0, 8].map((flow) => possible([0, 8], flow))).toEqual([true, true, true, true]);
  expect([-0.161, 8.001].map((flow) => possible([0, 8], flow))).toEqual([false, false]);
});

test('a range that does not begin at 0 is meant to the letter', () => {
  expect([0.999, 1, 8, 8.001].map((flow) => possible([1, 8], flow))).toEqual([false, true, true, false]);
});
