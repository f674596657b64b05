import { expect, it } from 'vitest';
import { applyLog } from '../../../analyzer/diagnose/apply-log.ts';
import { stepBench } from './step-bench.ts';

/** Loss (ln output) that is believed after a sensor was exchanged in the midst of a leak. */
function lossAfter(channel: string, ripple: number): number {
  const bench = stepBench().look(0.7, 0.2, ripple);
  applyLog(bench, {
    ...{ time: bench.now, gun: 'gun-01', part: `sensor:${channel}`, action: 'replaced', found: null, note: '' },
  } as Parameters<typeof applyLog>[1]);
  return bench.pool.gaussian.mean[bench.pool.guns['gun-01']!.leak]!;
}

it.each([
  ['the flow meter, with air that pulses', 'conveying/flow', 1, 0.2],
  ['the output meter, with air that pulses', 'powder/output', 1, 0.2],
  ['the flow meter, with air that does not', 'conveying/flow', 0, 0],
  ['the scale, with air that does not', 'powder/mass', 0, 0],
  ['a meter that says nothing of the loss', 'supplementary/flow', 0, 0.2],
])('what a leak costs is believed on or not beside a new sensor: %s', (_, channel, ripple, expected) => {
  expect(lossAfter(channel, ripple)).toBeCloseTo(expected, 6);
});
