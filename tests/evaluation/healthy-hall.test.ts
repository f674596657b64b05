import { describe, expect, it } from 'vitest';
import { Settings } from '../../collector/contract/index.ts';
import { runHealthyHall } from '../../evaluation/promise/run-healthy-hall.ts';
import { healthyHall } from '../../simulators/index.ts';

describe('a healthy hall', () => {
  it('wears inserts slower the smaller the change that is worth a visit, and has nothing else wrong', () => {
    const [fine, coarse] = [healthyHall(0.03), healthyHall(0.1)];
    expect(fine.lifeSprayHours).toBeCloseTo((10 / 3) * coarse.lifeSprayHours, 9);
    expect([...fine.faults, fine.supplyEvents, fine.badLots]).toEqual([0, 0]);
  });

  // 1.2 false findings are accepted in its 3.9 gun-years; more than four are rarer than one in a hundred then (Poisson).
  it('is found fault with no oftener than the promise allows for', { timeout: 180_000 }, () => {
    const { gunYears, wrong } = runHealthyHall({ settings: Settings.parse({}), seed: 5 });
    expect(gunYears).toBeGreaterThan(3.5);
    expect(wrong.length).toBeLessThanOrEqual(4);
  });
});
