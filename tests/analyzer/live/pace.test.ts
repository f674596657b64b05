import { describe, expect, it } from 'vitest';
import { startPace } from '../../../analyzer/live/pace.ts';

describe('the pace of the analysis', () => {
  /** What it says of each second of a burst whose readings arrive twice a second. */
  const seconds = (count: number): boolean[] => {
    const pace = startPace();
    return Array.from({ length: count }, (_, second) => {
      const at = 1000 * (second + 1);
      pace.arrived(at - 500, true);
      pace.arrived(at, true);
      return pace.aside(at) > 0;
    });
  };

  it('leaves the processors to a burst for fifteen seconds, then works for five, and so on', () => {
    const aside = [Array(15).fill(true), Array(5).fill(false), Array(15).fill(true), Array(5).fill(false)].flat();
    expect(seconds(40)).toEqual(aside);
  });

  it('looks again when readings have not come for 700 ms', () => {
    const pace = startPace();
    pace.arrived(1000, true);
    expect(pace.aside(1100)).toBe(600);
    expect(pace.aside(1699)).toBe(1);
    expect(pace.aside(1700)).toBe(0);
  });

  it('works at once while no more comes than stations send live, also right after a burst', () => {
    const pace = startPace();
    pace.arrived(1000, false);
    expect(pace.aside(1001)).toBe(0);
    pace.arrived(1500, true);
    pace.arrived(2000, false);
    expect(pace.aside(2001)).toBe(0);
  });

  it('is not held up by a clock that is set back', () => {
    const pace = startPace();
    pace.arrived(1e9, true);
    pace.arrived(1e9 - 3_600_000, true);
    expect(pace.aside(1e9 - 3_600_000 + 700)).toBe(0);
    for (let second = 1; second <= 16; second++) pace.arrived(1e9 - 3_600_000 + 1000 * second, true);
    expect(pace.aside(1e9 - 3_600_000 + 16_000)).toBeLessThanOrEqual(0);
  });
});
