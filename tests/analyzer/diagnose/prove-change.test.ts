import { expect, it } from 'vitest';
import { proveChange } from '../../../analyzer/diagnose/prove-change.ts';
import { stepBench } from './step-bench.ts';

/** A gun whose insert was logged as new while it had this loss, and that has shown this gain (both ln of output) for some hours. */
function afterChange(lost: number, lostSd: number, gain: number, hours: number, output = 'measured', powder = 'p-1') {
  const { look, memory } = stepBench();
  memory.step = null;
  memory.powder = powder;
  const bench = look(hours, 0);
  const gun = bench.pool.guns['gun-01']!;
  const mean = [...bench.pool.gaussian.mean];
  gun.proof = { mean, lost, lostSd, pace: { mean: 0, variance: 1e-4 }, gain, hours };
  const verdict = proveChange({ ...bench, gun: { ...bench.gun, output: output as 'measured' } });
  return { verdict, wear: bench.pool.gaussian.mean[gun.wear]! };
}

it('a loss that was well known and stays was no insert’s', () => {
  const { verdict, wear } = afterChange(0.25, 0.04, 0.02, 3);
  expect(verdict).toBe('in-vain');
  expect(wear).toBeCloseTo(0.23, 2);
});

it('a loss that was hardly known may have been none: the log is believed', () => {
  expect(afterChange(0.2, 0.12, 0.02, 3).verdict).toBe('cured');
});

it('where powders are not read a missing gain says little', () => {
  expect(afterChange(0.25, 0.04, 0.02, 7, 'setpoint', '').verdict).toBe('cured');
});

it('the recipe of a coupled output is not read either', () => {
  expect(afterChange(0.25, 0.04, 0.02, 7, 'coupled').verdict).toBe('cured');
});

it('what fell further after a change in vain is not put on top of the wear', () => {
  const { verdict, wear } = afterChange(0.25, 0.04, -0.2, 3);
  expect(verdict).toBe('in-vain');
  expect(wear).toBeLessThanOrEqual(0.25);
});

it('stays open until hours of readings have come', () => {
  expect(afterChange(0.25, 0.04, 0.02, 0.5).verdict).toBe('open');
});
