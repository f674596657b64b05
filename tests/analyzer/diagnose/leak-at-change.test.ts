import { describe, expect, it } from 'vitest';
import { linearForm } from '../../../analyzer/baseline/gaussian-state.ts';
import { applyLog } from '../../../analyzer/diagnose/apply-log.ts';
import { stepBench } from './step-bench.ts';

const NEW_INSERT = { gun: 'gun-01', part: 'pump-insert', action: 'replaced', found: 'worn', note: '' } as const;

/** What is believed of leak and wear once the insert was logged as new while the gun had lost so much (ln of output) at once. */
function changed(loss: number, ripple?: number, lossSd = 0.02) {
  const { look } = stepBench({}, {}, ripple !== undefined);
  const bench = look(1.5, loss, ripple, lossSd);
  const gun = bench.pool.guns['gun-01']!;
  bench.pool.gaussian.mean[gun.wear] = 0.2;
  applyLog(bench, { ...NEW_INSERT, time: bench.now });
  const { gaussian } = bench.pool;
  return {
    leak: linearForm(gaussian, [gun.leak], [1]),
    wear: gaussian.mean[gun.wear]!,
    lost: gun.proof!.lost,
  };
}

describe('a new insert', () => {
  it.each([
    ['by their pulsing', 1],
    ['by the loss alone', undefined],
  ])('cures no seals that are known to leak %s', (_, ripple) => {
    const { leak, wear, lost } = changed(0.18, ripple);
    expect(leak.mean).toBeCloseTo(0.18, 3);
    expect(wear).toBe(0);
    // It has to bring back what wear took, and no more.
    expect(lost).toBeCloseTo(0.2, 3);
  });

  it('leaves it to the readings whether the loss was its own after all', () => {
    expect(Math.sqrt(changed(0.18).leak.variance)).toBeGreaterThan(0.05);
  });

  it('ends what no seals explain', () => {
    const { leak, lost } = changed(0.05, 0, 0.05);
    expect(leak.mean).toBeLessThan(0.03);
    expect(lost).toBeCloseTo(0.25, 2);
  });
});
