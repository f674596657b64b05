import { describe, expect, it } from 'vitest';
import { PROMISE_SHARES } from '../../../analyzer/detect/promise-shares.ts';
import { lineDeviations, rampDeviations, wearBeyond } from '../../../analyzer/detect/ramp-limits.ts';
import { INSERT_RAMP, LINE_RAMPS, rampRate } from '../../../analyzer/detect/ramp-rate.ts';
import { seededNormal } from '../../seeded-normal.ts';

describe('limits of ramps', () => {
  it('shares out the whole promise and no more', () => {
    const { insert, lines, steps } = PROMISE_SHARES;
    expect(insert + lines + steps).toBeCloseTo(1, 12);
  });

  it.each([0.1, 0.3, 1])('spends the shares of %d false alarms a year to a twentieth', (promise) => {
    const bound = rampDeviations(promise, 0.05) * INSERT_RAMP.sd;
    expect(rampRate(INSERT_RAMP, bound) / (promise * PROMISE_SHARES.insert)).toBeCloseTo(1, 1);
    const lines = Object.values(LINE_RAMPS).reduce(
      (sum, ramp) => sum + rampRate(ramp, lineDeviations(promise) * ramp.sd),
      0,
    );
    expect(lines / (promise * PROMISE_SHARES.lines)).toBeCloseTo(1, 1);
  });

  it('asks for more the fewer false alarms are accepted, within its bounds', () => {
    const asked = [1e-9, 0.01, 0.1, 0.3, 1, 2, 50].map((promise) => rampDeviations(promise, 0.05));
    expect(asked).toEqual([...asked].sort((left, right) => right - left));
    expect([asked[0], asked.at(-1)]).toEqual([6, 1]);
  });

  it('asks a belief that is less sure than usual for no more', () => {
    expect(wearBeyond(0.3, 0.05, 0.05)).toBe(wearBeyond(0.3, 0.05, INSERT_RAMP.sd));
    expect(wearBeyond(0.3, 0.05, 0.01)).toBeLessThan(wearBeyond(0.3, 0.05, 0.02));
  });

  it('has the rate that a simulation of lives gives', () => {
    const normal = seededNormal(3);
    const { small, sd, staying, nuisance, livesPerYear, lookHours } = INSERT_RAMP;
    const looks = Math.round(500 / livesPerYear / lookHours);
    const carried = Math.exp((-lookHours * 8766) / 500 / nuisance.hours);
    const bound = 1.5 * sd;
    const lives = 4000;
    let alarms = 0;
    for (let life = 0; life < lives; life++) {
      const offset = staying * normal();
      let x = normal();
      for (let look = 1; look <= looks; look++) {
        x = carried * x + Math.sqrt(1 - carried * carried) * normal();
        if (offset + nuisance.sd * x - small * (1 - look / looks) > bound) {
          alarms++;
          break;
        }
      }
    }
    const rate = (livesPerYear * alarms) / lives;
    const error = (livesPerYear * Math.sqrt(alarms)) / lives;
    expect(Math.abs(rampRate(INSERT_RAMP, bound) - rate)).toBeLessThan(3 * error + 0.05 * rate);
  });
});
