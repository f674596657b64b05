import { expect, it } from 'vitest';
import { bringUpToDate, emptyBook, raise, update } from '../../../analyzer/diagnose/finding-book.ts';
import { notCured, proveChange } from '../../../analyzer/diagnose/prove-change.ts';
import { START, stepBench } from './step-bench.ts';

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

it('where a meter was exchanged with the insert a missing gain says little', () => {
  const { look, memory } = stepBench();
  memory.step = null;
  memory.powder = 'p-1';
  const verdict = (part: string): unknown => {
    const bench = look(3, 0);
    const gun = bench.pool.guns['gun-01']!;
    const pace = { mean: 0, variance: 1e-4 };
    gun.proof = { mean: [...bench.pool.gaussian.mean], lost: 0.17, lostSd: 0.04, pace, gain: 0.02, hours: 3 };
    memory.insert.since = START;
    memory.log = [{ time: START - 240_000, gun: 'gun-01', part, action: 'replaced', found: null, note: '' }] as never;
    return proveChange(bench);
  };
  expect(verdict('sensor:conveying/flow')).toBe('cured');
  expect(verdict('sensor:supplementary/flow')).toBe('in-vain');
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

it('after a change in vain what was found by hand weighs once, however often the gun is looked at', () => {
  const candidates = [
    { cause: 'pump-insert', probability: 0.9 },
    { cause: 'pump-seals', probability: 0.05 },
    { cause: 'powder-hose', probability: 0.04 },
  ];
  const verdict = {
    category: 'maintenance-required' as const,
    candidates,
    excessAir: 0.1,
    remaining: null,
    evidence: [],
  };
  const at = { gun: 'gun-01', cause: 'pump-insert', subject: 'wear', onset: 0, now: 1, sprayHours: 0 };
  const finding = raise(emptyBook(), at, verdict, null);
  finding.checks = [{ part: 'powder-hose', found: 'worn', measured: null }];
  const looked = [2, 3, 4, 5].map((now) => {
    update(finding, notCured(finding, candidates, 0.1), now, now, null);
    bringUpToDate(finding);
    return finding.candidates;
  });
  for (const after of looked) expect(after).toEqual(looked[0]);
  // Hose: 0.8 · 4/9 before the check, which is 0.75 / 0.15 times as likely where it is the cause.
  const hose = 0.8 * (4 / 9) * 5;
  expect(looked[0]![0]).toMatchObject({ cause: 'powder-hose' });
  expect(looked[0]![0]!.probability).toBeCloseTo(hose / (hose + 0.8 * (5 / 9) + 0.1 + 0.1), 2);
});
